"""Which papers hold for a person on a day, and which are missing.

Every minor needs a guardian's consent, signed twice, and a guardian's word on emergency care
(FWS 150 FW 2; OF-301A). An agreement is signed by the person, for a minor by a guardian besides,
and renewed as its form says, yearly for agencies (NPS RM-7 ch. 5). A release is an adult's: a
guardian's would not bind the child, so a minor is not asked for one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from roster.domain.paper_forms import (
    ConsentScope,
    PaperForm,
    PaperKind,
    SecondSign,
    SecondWay,
    Signature,
    SignedBy,
)
from roster.domain.person_facts import MAJORITY, PersonFacts, comes_of_age, is_minor
from roster.domain.reasons import Fact, Reason
from roster.domain.spans import ALWAYS, OPEN_END, OPEN_START, Span, intersection, union

__all__ = [
    "MAJORITY",
    "ConsentScope",
    "PaperForm",
    "PaperKind",
    "SecondSign",
    "SecondWay",
    "Signature",
    "SignedBy",
    "consent_on",
    "form_days",
    "form_reason",
    "guardian_days",
    "guardian_reasons",
    "is_minor",
    "papers_missing",
]

GUARDIANS = (PaperKind.GUARDIAN_CONSENT, PaperKind.EMERGENCY_CARE)


def papers_missing(
    facts: PersonFacts,
    forms_demanded: Iterable[PaperForm],
    day: date,
    majority_age: int = MAJORITY,
) -> tuple[Reason, ...]:
    """Every reason why the papers do not suffice on that day for land that demands these forms.

    `majority_age` is that of the site's state. A minor's guardian papers are asked for on any land.
    """
    wanted = sorted(forms_demanded, key=lambda f: (f.title, f.id))
    found = (form_reason(facts, form, day, majority_age) for form in wanted)
    return (*guardian_reasons(facts, day, majority_age), *(r for r in found if r is not None))


def form_reason(
    facts: PersonFacts, form: PaperForm, day: date, majority_age: int = MAJORITY
) -> Reason | None:
    """Why one form is not signed as it must be on a day; None if it is, or is not asked for.

    Any version from `form.version` on will do. What guardians sign is judged apart.
    """
    minor = is_minor(facts, day, majority_age)
    if form.kind in GUARDIANS or (form.kind is PaperKind.RELEASE and minor):
        return None
    of_age_on = comes_of_age(facts, majority_age)
    mine = [s for s in facts.signatures if s.form.code == form.code]
    if any(s.form.version >= form.version and _holds(s, day, of_age_on) for s in mine):
        return None
    begun = [s for s in mine if s.signed_on <= day]
    if not begun:
        return Reason("paper_missing", {"paper": form.title})
    if any(_holds(s, day, of_age_on) for s in begun):
        return Reason("paper_older_version", {"paper": form.title, "version": form.version})
    return _why_ended(begun, form, day, of_age_on)


def guardian_reasons(
    facts: PersonFacts, day: date, majority_age: int = MAJORITY
) -> tuple[Reason, ...]:
    """Why a minor may not come: consent or emergency care is missing, unfinished or lapsed."""
    if not is_minor(facts, day, majority_age):
        return ()
    of_age_on = comes_of_age(facts, majority_age)
    found = (_guardian_reason(facts.signatures, kind, day, of_age_on) for kind in GUARDIANS)
    return tuple(reason for reason in found if reason is not None)


def consent_on(facts: PersonFacts, day: date, majority_age: int = MAJORITY) -> Signature | None:
    """The guardian consent in force on a day (its `scope` says to what), the newest if several."""
    of_age_on = comes_of_age(facts, majority_age)
    holding = [
        s
        for s in facts.signatures
        if s.form.kind is PaperKind.GUARDIAN_CONSENT and _holds(s, day, of_age_on)
    ]
    return max(holding, key=lambda s: (s.signed_on, s.id), default=None)


def form_days(facts: PersonFacts, form: PaperForm) -> list[Span]:
    """The days on which any version of a form holds, or is not asked for; majority at 18."""
    if form.kind in GUARDIANS:
        return list(ALWAYS)
    of_age_on = comes_of_age(facts)
    mine = [s for s in facts.signatures if s.form.code == form.code]
    spans = [span for s in mine if (span := s.days(of_age_on)) is not None]
    if of_age_on is not None and form.kind is PaperKind.RELEASE:
        spans.append((OPEN_START, of_age_on))
    return union(spans)


def guardian_days(facts: PersonFacts, of_age_on: date) -> list[Span]:
    """The days on which no guardian's word is missing."""
    days = list(ALWAYS)
    for kind in GUARDIANS:
        mine = (s for s in facts.signatures if s.form.kind is kind and s.guardian is not None)
        spans = [span for s in mine if (span := s.days(of_age_on)) is not None]
        days = intersection(days, union([*spans, (of_age_on, OPEN_END)]))
    return days


def _holds(signature: Signature, day: date, of_age_on: date | None) -> bool:
    span = signature.days(of_age_on)
    return span is not None and span[0] <= day < span[1]


def _guardian_reason(
    signatures: Sequence[Signature], kind: PaperKind, day: date, of_age_on: date | None
) -> Reason | None:
    mine = [s for s in signatures if s.form.kind is kind and s.guardian is not None]
    if any(_holds(s, day, of_age_on) for s in mine):
        return None
    begun = [s for s in mine if s.signed_on <= day]
    if not begun:
        return Reason(f"{kind}_missing")
    newest = max(begun, key=lambda s: (s.signed_on, s.id))
    if newest.counts_from is None or newest.counts_from > day:
        return Reason("guardian_consent_one_sign", {"signed_on": newest.signed_on})
    return Reason(f"{kind}_lapsed", {"last_day": _last_day(begun, of_age_on)})


def _why_ended(
    begun: Sequence[Signature], form: PaperForm, day: date, of_age_on: date | None
) -> Reason:
    facts: dict[str, Fact] = {"paper": form.title}
    newest = max(begun, key=lambda s: (s.signed_on, s.id))
    if of_age_on is not None and newest.signed_on < of_age_on <= day < newest.ends_on:
        return Reason("paper_signed_as_minor", facts | {"of_age_on": of_age_on})
    if of_age_on is not None and newest.guardian is None and newest.signed_on < of_age_on:
        return Reason("paper_lacks_guardian", facts)
    return Reason("paper_lapsed", facts | {"last_day": _last_day(begun, of_age_on)})


def _last_day(signatures: Iterable[Signature], of_age_on: date | None) -> date:
    """The last valid day of what was signed; the guardians' ends with the person's minority."""
    ends = [
        min(s.ends_on, of_age_on or OPEN_END) if s.guardian is not None else s.ends_on
        for s in signatures
    ]
    return max(ends) - timedelta(days=1)
