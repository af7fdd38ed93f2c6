"""Cleared: a verdict for a person, a role and a day, with every reason; and the days it holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.papers import (
    form_days,
    form_reason,
    guardian_days,
    guardian_reasons,
    papers_missing,
)
from roster.domain.people import Role
from roster.domain.person_facts import (
    PersonFacts,
    TrainingRules,
    Withheld,
    WithheldKind,
    age,
    comes_of_age,
    is_minor,
    turns,
)
from roster.domain.reasons import Fact, Reason
from roster.domain.spans import (
    OPEN_END,
    OPEN_START,
    Span,
    cut_at,
    holding,
    intersection,
    union,
    without,
)
from roster.domain.training import Step, Track, TrackStep, days_of, why_not_held

__all__ = [
    "PersonFacts",
    "TrainingRules",
    "Verdict",
    "Withheld",
    "WithheldKind",
    "intervals",
    "is_minor",
    "papers_missing",
    "step_days",
    "verdict",
    "what_holds",
]


@dataclass(frozen=True)
class Verdict:
    """Whether a person is cleared in a role on a day.

    `until` is the last valid day of a yes (None: no end is known). `reasons` are all reasons for a
    no, gravest first. `next_steps` are those that can be begun now, in the order of the track.
    """

    yes: bool
    until: date | None
    reasons: tuple[Reason, ...]
    next_steps: tuple[Step, ...]


def verdict(
    facts: PersonFacts,
    role: Role,
    day: date,
    known_at: datetime | None = None,
    guardian_there: bool = False,
) -> Verdict:
    """Whether the person is cleared in that role on that day, by what was known at an instant.

    `known_at` None asks by what is on record now. `guardian_there`: the person's own guardian
    comes along, which lowers the youngest age where the track says so.
    """
    known = facts.as_known(known_at)
    tracks = known.rules.tracks_to(role)
    own = _personal_reasons(known, role, day)
    if not tracks:
        return Verdict(False, None, (*own, Reason("no_track", {"role": role.value})), ())
    answers = [_by_track(known, track, day, guardian_there) for track in tracks]
    best, steps = min(answers, key=lambda answer: len(answer[0]))
    reasons = (*own, *best)
    if reasons:
        return Verdict(False, None, reasons, steps)
    span = holding(intervals(known, role, guardian_there), day)
    last = None if span is None or span[1] == OPEN_END else span[1] - timedelta(days=1)
    return Verdict(True, last, (), ())


def intervals(facts: PersonFacts, role: Role, guardian_there: bool = False) -> list[Span]:
    """All days on which the person is cleared in a role, half-open, by what is on record now.

    They begin at the youngest age at the earliest and are parted on the day of majority.
    """
    known = facts.as_known(None)
    if known.has_left:
        return []
    of_age_on = comes_of_age(known)
    if of_age_on is None:
        return []
    held = [s for t in known.rules.tracks_to(role) for s in _track_days(known, t, guardian_there)]
    if not held:
        return []
    allowed = intersection(union(held), guardian_days(known, of_age_on))
    taken = [w.days for w in known.withheld if w.role in (None, role)]
    return cut_at(without(allowed, taken), (of_age_on,))


def step_days(facts: PersonFacts, step: Step) -> list[Span]:
    """The days on which a step holds for a person: by papers, exemption, or as finished."""
    if step.paper is not None:
        form = facts.rules.form(step.paper)
        return [] if form is None else form_days(facts, form)
    spans = [
        span
        for f in facts.finished
        if f.step == step.id and (span := days_of(f, step, facts.rules.seasons)) is not None
    ]
    spans += [(e.from_on, e.until_on or OPEN_END) for e in facts.exemptions if e.step == step.id]
    return union(spans)


def what_holds(facts: PersonFacts, role: Role, day: date) -> tuple[Reason, ...]:
    """What speaks for the person in that role on that day: steps that hold, papers of the age."""
    known = facts.as_known(None)
    found = []
    versions = [v for t in known.rules.tracks_to(role) if (v := t.version_on(day)) is not None]
    if versions:
        needed = [t.step for t in versions[0].steps if _needed(t, day)]
        held = sum(_held(known, step, day) for step in needed)
        if held:
            code = "all_steps_hold" if held == len(needed) else "steps_hold"
            found.append(Reason(code, {"n": held}))
    if comes_of_age(known) is not None and not guardian_reasons(known, day):
        found.append(Reason("papers_of_minor" if is_minor(known, day) else "papers_of_adult"))
    return tuple(found)


def _personal_reasons(facts: PersonFacts, role: Role, day: date) -> tuple[Reason, ...]:
    reasons = [Reason("person_left", {"name": facts.name})] if facts.has_left else []
    for held_back in facts.withheld:
        first, until = held_back.days
        if held_back.role in (None, role) and first <= day < until:
            told: dict[str, Fact] = {"role": role.value, "from_on": first}
            code = f"role_{held_back.kind}"
            if until != OPEN_END:
                code, told["last_day"] = f"{code}_until", until - timedelta(days=1)
            reasons.append(Reason(code, told))
    if comes_of_age(facts) is None:
        return (*reasons, Reason("age_unknown"))
    return (*reasons, *guardian_reasons(facts, day))


def _by_track(
    facts: PersonFacts, track: Track, day: date, guardian_there: bool
) -> tuple[list[Reason], tuple[Step, ...]]:
    """Reasons against by one track, and the steps that can be begun."""
    young = _too_young(facts, track, day, guardian_there)
    version = track.version_on(day)
    if version is None:
        return [*young, Reason("no_track", {"role": track.role.value})], ()
    missing = [t.step for t in version.steps if _needed(t, day) and not _held(facts, t.step, day)]
    absent = {step.id for step in missing}
    return (
        [*young, *(_step_reason(facts, step, day) for step in missing)],
        tuple(step for step in missing if not step.needs & absent),
    )


def _youngest(track: Track, guardian_there: bool) -> int:
    lower = track.youngest_with_guardian
    return track.youngest_age if lower is None or not guardian_there else lower


def _too_young(
    facts: PersonFacts, track: Track, day: date, guardian_there: bool
) -> tuple[Reason, ...]:
    youngest = _youngest(track, guardian_there)
    from_on = turns(facts, youngest)
    if from_on is None or day >= from_on:
        return ()
    told: dict[str, Fact] = {"role": track.role.value, "youngest": youngest, "from_on": from_on}
    lower = track.youngest_with_guardian
    years = age(facts, day)
    if lower is not None and years is not None and years >= lower:
        return (Reason("too_young_alone", told),)
    return (Reason("too_young", told),)


def _needed(needed: TrackStep, day: date) -> bool:
    return needed.needed_from is None or needed.needed_from <= day


def _held(facts: PersonFacts, step: Step, day: date) -> bool:
    return holding(step_days(facts, step), day) is not None


def _step_reason(facts: PersonFacts, step: Step, day: date) -> Reason:
    if step.paper is None:
        mine = [f for f in facts.finished if f.step == step.id]
        return why_not_held(step, mine, facts.rules.seasons, day)
    form = facts.rules.form(step.paper)
    found = None if form is None else form_reason(facts, form, day)
    return found or Reason("paper_missing", {"paper": step.name})


def _track_days(facts: PersonFacts, track: Track, guardian_there: bool) -> list[Span]:
    of_youngest = turns(facts, _youngest(track, guardian_there))
    found: list[Span] = []
    for version, window in track.windows():
        first = window[0] if of_youngest is None else max(window[0], of_youngest)
        days: Sequence[Span] = [(first, window[1])] if first < window[1] else []
        for needed in version.steps:
            if not days:
                break
            held = step_days(facts, needed.step)
            if needed.needed_from is not None:
                held = union([*held, (OPEN_START, needed.needed_from)])
            days = intersection(days, held)
        found += days
    return found
