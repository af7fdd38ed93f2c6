"""A programme with one crew track and one lead track, made through the use cases."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roster.domain.paper_forms import PaperKind, SecondWay
from roster.domain.people import Actor, ActorKind, Role, system
from roster.domain.training import StepKind
from roster.services import papers, people, places, standing, training
from roster.services.papers import NewForm, NewSignature
from roster.services.people import NewPerson
from roster.services.training import NewStep, NewTrack, StepRules

CLI = system("test")
TODAY = date(2027, 6, 16)
START = date(2025, 1, 1)
ZONE = "America/Los_Angeles"


@dataclass(frozen=True)
class Programme:
    """Numbers of the region and of each form by its code."""

    region: int
    forms: dict[str, int]


def as_person(number: int) -> Actor:
    """That person as an actor (the grants are loaded by the act itself)."""
    return Actor(ActorKind.PERSON, f"V{number}", number)


def programme() -> Programme:
    """Steps ethics, field_day, aid and signed; tracks crew (16, 14 with guardian) and lead (18)."""
    places.add_programme(CLI, "Lantern and Quill seed programme", ZONE)
    places.add_season(CLI, "2027", date(2027, 4, 1), date(2027, 10, 31))
    region = places.add_region(CLI, "PAL", "Palouse", ZONE, "990, 991")
    kinds = {
        "release": PaperKind.RELEASE,
        "agreement": PaperKind.AGREEMENT,
        "consent": PaperKind.GUARDIAN_CONSENT,
        "care": PaperKind.EMERGENCY_CARE,
    }
    forms = {
        code: papers.put_form_in_force(
            CLI, NewForm(code, kind, code, f"Text of the {code}.", "P1Y", from_on=START)
        )
        for code, kind in kinds.items()
    }
    for new in (
        NewStep("ethics", "Seed ethics", StepKind.LESSON, StepRules(self_counts=True)),
        NewStep("field_day", "Field day", StepKind.FIELD_DAY, StepRules("P2Y"), ("ethics",)),
        NewStep("aid", "First-aid card", StepKind.FIRST_AID, StepRules("P2Y")),
        NewStep("signed", "Release", StepKind.PAPERS, paper="release"),
    ):
        training.define_step(CLI, _from_start(new))
    training.define_track(
        CLI,
        NewTrack("crew", "Crew work", Role.CREW_MEMBER, 16, ("ethics", "signed"), 14,
                 from_on=START),
    )  # fmt: skip
    training.define_track(
        CLI,
        NewTrack("lead", "Leading", Role.LEAD, 18, ("ethics", "field_day", "aid", "signed"),
                 from_on=START),
    )  # fmt: skip
    return Programme(region, forms)


def _from_start(new: NewStep) -> NewStep:
    from dataclasses import replace

    return replace(new, from_on=START)


def adult(name: str = "Wren Halvorsen", **more: Any) -> int:
    """A person born in 1990."""
    return people.add_person(CLI, NewPerson(name, born_on=date(1990, 5, 1), **more))


def cleared_lead(made: Programme, name: str = "Ana Ferrer", **more: Any) -> int:
    """An adult with every step of both tracks; the release holds to 30 April 2028."""
    number = adult(name, **more)
    for code, day in (("ethics", 1), ("field_day", 2), ("aid", 3)):
        training.record_completion(CLI, number, code, date(2027, 5, day))
    sign(number, made, "release", date(2027, 5, 1))
    return number


def sign(number: int, made: Programme, code: str, day: date, guardian: int | None = None) -> int:
    """A form signed on paper."""
    return papers.record_signature(
        CLI, number, NewSignature(made.forms[code], day, guardian=guardian)
    )


def minor(made: Programme, born_on: date = date(2010, 3, 1)) -> int:
    """A minor cleared to be on a crew: consent signed twice, emergency care, ethics."""
    number = people.add_person(CLI, NewPerson("Bea Lindqvist", born_on=born_on))
    guardian = standing.add_guardian(CLI, number, "Olle Lindqvist", "olle@example.org")
    consent = sign(number, made, "consent", date(2027, 5, 1), guardian)
    papers.record_second_sign(CLI, consent, SecondWay.CALL, date(2027, 5, 2))
    sign(number, made, "care", date(2027, 5, 1), guardian)
    training.record_completion(CLI, number, "ethics", date(2027, 5, 3))
    return number
