"""Events: kinds, stages, and which move is allowed when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from roster.domain.errors import RuleBroken
from roster.domain.reasons import Fact, Finding, Level, Reason


class EventKind(StrEnum):
    """What people come together for."""

    COLLECTING = "collecting"
    SITE_CHECK = "site_check"
    TRAINING = "training"
    MEETING = "meeting"

    @property
    def in_the_field(self) -> bool:
        """Whether people go out on somebody's land, with lead, briefing and head count."""
        return self in (EventKind.COLLECTING, EventKind.SITE_CHECK)


class Stage(StrEnum):
    """Where an event stands."""

    DRAFT = "draft"
    OPEN = "open"
    READY = "ready"
    UNDER_WAY = "under_way"
    DONE = "done"
    CALLED_OFF = "called_off"

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen (done or called off)."""
        return self in (Stage.DONE, Stage.CALLED_OFF)

    @property
    def takes_sign_ups(self) -> bool:
        """Whether people may still ask for a spot."""
        return self in (Stage.OPEN, Stage.READY)


class DateState(StrEnum):
    """An expected window, or one fixed day."""

    EXPECTED = "expected"
    FIXED = "fixed"


class Outcome(StrEnum):
    """How a collecting event ended."""

    COLLECTED = "collected"
    NOTHING_TAKEN = "nothing_taken"


class NothingTaken(StrEnum):
    """Why a crew came home without seed (common practice, no source)."""

    TOO_GREEN = "too_green"
    SHED = "shed"
    FIFTY_OR_FEWER = "fifty_or_fewer"
    EATEN = "eaten"
    SHARE_TAKEN = "share_taken"
    WRONG_PLANT = "wrong_plant"
    CLOSED = "closed"
    NO_ACCESS = "no_access"
    UNSAFE = "unsafe"


class Check(StrEnum):
    """Groups of findings that a move may need."""

    LAND = "land"  # permission, closure, wild origin, listed plants
    CREW = "crew"  # the crew check on those placed, or on those who came
    BRIEFING = "briefing"
    COUNT = "count"  # everybody is back, each minor handed over


CHECKS_BEFORE: dict[Stage, frozenset[Check]] = {
    Stage.OPEN: frozenset({Check.LAND}),
    Stage.READY: frozenset({Check.LAND, Check.CREW}),
    Stage.UNDER_WAY: frozenset({Check.LAND, Check.CREW, Check.BRIEFING}),
    Stage.DONE: frozenset({Check.COUNT}),
    Stage.CALLED_OFF: frozenset(),
}
"""What must be without a stop before a field event comes to a stage."""

_ALLOWED: dict[Stage, frozenset[Stage]] = {
    Stage.DRAFT: frozenset({Stage.OPEN, Stage.CALLED_OFF}),
    Stage.OPEN: frozenset({Stage.DRAFT, Stage.READY, Stage.CALLED_OFF}),
    Stage.READY: frozenset({Stage.OPEN, Stage.UNDER_WAY, Stage.CALLED_OFF}),
    Stage.UNDER_WAY: frozenset({Stage.DONE, Stage.CALLED_OFF}),
    Stage.DONE: frozenset(),
    Stage.CALLED_OFF: frozenset(),
}


def checks_before(kind: EventKind, to: Stage) -> frozenset[Check]:
    """The groups of findings to gather before this move; a training or a meeting needs none."""
    return CHECKS_BEFORE.get(to, frozenset()) if kind.in_the_field else frozenset()


@dataclass(frozen=True)
class Event:
    """One planned outing or meeting. Local times are the truth until it begins, UTC is derived.

    `local_start` and `local_end` carry no zone; while the date is an expected window they are
    the first day's start and the last day's end.
    """

    id: int
    kind: EventKind
    stage: Stage
    date_state: DateState
    local_start: datetime
    local_end: datetime
    time_zone: str
    starts_at: datetime
    ends_at: datetime
    site: int
    region: int
    capacity: int
    taken: int = 0
    minimum_crew: int = 3
    outcome: Outcome | None = None
    duty_person: int | None = None
    stand_in: int | None = None
    n: int = 1
    sequence: int = 0

    @property
    def first_day(self) -> date:
        """The event's own day, or the first of its expected window (local)."""
        return self.local_start.date()

    @property
    def last_day(self) -> date:
        """The last local day on which it may end."""
        return self.local_end.date()

    @property
    def is_fixed(self) -> bool:
        """Whether its date is one fixed day."""
        return self.date_state is DateState.FIXED


@dataclass(frozen=True)
class Move:
    """A wish to bring an event to a stage: when (local day), why, and how it ended."""

    to: Stage
    today: date
    why: str = ""
    outcome: Outcome | None = None
    nothing_taken: NothingTaken | None = None


@dataclass(frozen=True)
class Override:
    """Somebody answers for going on although one rule says stop; `code` is the finding's."""

    code: str
    reason: str
    by: str = ""


OVERRIDABLE = frozenset({"population_not_wild"})
"""Stops that a coordinator may answer for with a reason. Whatever is not here stays a stop:
guardian consent, two cleared adults with a minor, two people, briefing, suspension, permission,
closure, listed plants, thunder, a rare plant's limit can never be answered for."""


def move(
    event: Event, wanted: Move, findings: Iterable[Finding] = (), overrides: Sequence[Override] = ()
) -> None:
    """Nothing if the move is allowed, else RuleBroken with every reason, gravest first.

    `findings` are those of `checks_before(event.kind, wanted.to)`.
    """
    if wanted.to not in _ALLOWED[event.stage]:
        facts: dict[str, Fact] = {"event": event.id, "stage": event.stage, "to": wanted.to}
        raise RuleBroken([Reason("move_not_allowed", facts)])
    reasons = _own_rules(event, wanted)
    reasons += [r for f in findings for r in _standing_stop(f, overrides)]
    if reasons:
        raise RuleBroken(reasons)


def move_allowed(event: Event, wanted: Move, findings: Iterable[Finding] = ()) -> bool:
    """Whether `move` would let it pass (for showing a button or not)."""
    try:
        move(event, wanted, findings)
    except RuleBroken:
        return False
    return True


def _standing_stop(finding: Finding, overrides: Sequence[Override]) -> list[Reason]:
    """The reasons why this finding still stops, empty if it does not or is answered for."""
    if finding.level is not Level.STOP:
        return []
    answer = next((o for o in overrides if o.code == finding.reason.code), None)
    if answer is None:
        return [finding.reason]
    if finding.reason.code not in OVERRIDABLE:
        return [finding.reason, Reason("override_never", {"finding": finding.reason.code})]
    if not answer.reason.strip():
        return [finding.reason, Reason("override_without_reason", {"finding": answer.code})]
    return []


def _own_rules(event: Event, wanted: Move) -> list[Reason]:
    rules = {
        Stage.OPEN: _open_rules,
        Stage.READY: _ready_rules,
        Stage.UNDER_WAY: _start_rules,
        Stage.DONE: _done_rules,
        Stage.CALLED_OFF: _call_off_rules,
        Stage.DRAFT: _draft_rules,
    }
    return rules[wanted.to](event, wanted)


def _draft_rules(event: Event, wanted: Move) -> list[Reason]:
    if event.taken:
        return [Reason("spots_already_taken", {"event": event.id, "n": event.taken})]
    return []


def _open_rules(event: Event, wanted: Move) -> list[Reason]:
    if event.last_day < wanted.today:
        return [Reason("event_day_is_past", {"event": event.id, "day": event.last_day})]
    return []


def _ready_rules(event: Event, wanted: Move) -> list[Reason]:
    reasons = _open_rules(event, wanted)
    if not event.is_fixed:
        reasons.append(Reason("date_not_fixed", {"event": event.id}))
    if event.kind.in_the_field:
        reasons += duty_reasons(event)
    return reasons


def _start_rules(event: Event, wanted: Move) -> list[Reason]:
    if not event.is_fixed:
        return [Reason("date_not_fixed", {"event": event.id})]
    reasons = duty_reasons(event) if event.kind.in_the_field else []
    if not event.first_day <= wanted.today <= event.last_day:
        facts: dict[str, Fact] = {"event": event.id, "day": event.first_day, "today": wanted.today}
        reasons.append(Reason("not_on_its_day", facts))
    return reasons


def duty_reasons(event: Event) -> list[Reason]:
    """What is missing of the two who wait at home: a duty person and another as stand-in.

    Common practice, no source; agency units run check-out and check-in with a named holder
    (Forest Service Handbook supplement 6709.11, section 11.12.2).
    """
    reasons = []
    if event.duty_person is None:
        reasons.append(Reason("duty_person_missing", {"event": event.id}))
    if event.stand_in is None:
        reasons.append(Reason("stand_in_missing", {"event": event.id}))
    elif event.stand_in == event.duty_person:
        reasons.append(Reason("stand_in_is_duty_person", {"event": event.id}))
    return reasons


def _done_rules(event: Event, wanted: Move) -> list[Reason]:
    facts: dict[str, Fact] = {"event": event.id}
    if event.kind is not EventKind.COLLECTING:
        unwanted = wanted.outcome is not None
        return [Reason("outcome_only_for_collecting", facts)] if unwanted else []
    if wanted.outcome is None:
        return [Reason("outcome_missing", facts)]
    if (wanted.outcome is Outcome.NOTHING_TAKEN) != (wanted.nothing_taken is not None):
        return [Reason("nothing_taken_needs_why", facts)]
    return []


def _call_off_rules(event: Event, wanted: Move) -> list[Reason]:
    return [] if wanted.why.strip() else [Reason("call_off_needs_why", {"event": event.id})]
