"""Short ways to write a person's facts in tests of training, papers and clearance."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from roster.domain.paper_forms import PaperForm, PaperKind, SecondSign, SecondWay, Signature
from roster.domain.people import Role
from roster.domain.person_facts import PersonFacts, TrainingRules
from roster.domain.training import (
    FinishedStep,
    Step,
    StepKind,
    StepVersion,
    Track,
    TrackStep,
    TrackVersion,
)

START = date(2020, 1, 1)
YEAR = timedelta(days=365)
AGREEMENT = PaperForm(
    1, "agreement", PaperKind.AGREEMENT, "agreement of the land agency", 1, START, "P1Y"
)
RELEASE = PaperForm(2, "release", PaperKind.RELEASE, "release", 1, START, "P1Y")
CONSENT = PaperForm(3, "consent", PaperKind.GUARDIAN_CONSENT, "guardian consent", 1, START, "P1Y")
CARE = PaperForm(4, "care", PaperKind.EMERGENCY_CARE, "emergency care", 1, START, "P1Y")
FORMS = (AGREEMENT, RELEASE, CONSENT, CARE)


def step(number: int = 1, name: str = "Seed ethics", **version: Any) -> Step:
    """A lesson with one version."""
    first = StepVersion(n=1, from_on=START, **version)
    return Step(id=number, code=f"s{number}", name=name, kind=StepKind.LESSON, versions=(first,))


def paper_step(number: int, form: PaperForm) -> Step:
    """A step that a signature finishes."""
    versions = (StepVersion(n=1, from_on=START),)
    return Step(id=number, code=f"s{number}", name=form.title, kind=StepKind.PAPERS,
                versions=versions, paper=form.code)  # fmt: skip


def track(role: Role, steps: Iterable[Step | TrackStep], youngest: int = 18, **more: Any) -> Track:
    """A track in one version."""
    listed = tuple(s if isinstance(s, TrackStep) else TrackStep(s) for s in steps)
    version = TrackVersion(n=1, from_on=START, steps=listed)
    return Track(1, role.value, role.value, role, youngest, (version,), **more)


def rules(*tracks: Track, **more: Any) -> TrainingRules:
    """Rules with all four forms."""
    return TrainingRules(tracks, forms=FORMS, **more)


def person(
    ruled: TrainingRules, born_on: date | None = date(1990, 5, 1), **facts: Any
) -> PersonFacts:
    """A person under those rules, an adult unless said otherwise."""
    return PersonFacts(1, "Wren Halvorsen", ruled, born_on, **facts)


def done(number: int, on: date, **more: Any) -> FinishedStep:
    """A step finished on a day, recorded by a coordinator."""
    return FinishedStep(step=number, n=1, done_on=on, **more)


def signed(form: PaperForm, on: date, **more: Any) -> Signature:
    """A signature of a form."""
    return Signature(form=form, signed_on=on, **more)


def guardian_papers(on: date, **more: Any) -> tuple[Signature, Signature]:
    """Consent, signed twice on the day, and emergency care."""
    second = SecondSign(way=SecondWay.CALL, on=on)
    return (
        signed(CONSENT, on, guardian=9, second_signs=(second,), **more),
        signed(CARE, on, guardian=9, **more),
    )
