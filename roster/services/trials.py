"""One change to many events: tried out first, then sent; nothing is written before Send."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from roster.domain import trial as rules
from roster.domain.closures import closures_touching
from roster.domain.errors import BadInput, Conflict, NotFound, RuleBroken
from roster.domain.events import Event, Stage
from roster.domain.people import Actor
from roster.domain.reasons import Finding, Level, Reason
from roster.domain.trial import Act, Wanted
from roster.services import checks, crewcheck, event_changes, events, landcheck, leads
from roster.services.access import require
from roster.services.event_changes import EventChange
from roster.services.merging import merge_in
from roster.services.trial_undo import before_of
from roster.store.event_values import EventFilter, EventLine, EventRow
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.trial_rows import TrialEventRow

OPEN_STAGES = (Stage.DRAFT, Stage.OPEN, Stage.READY, Stage.UNDER_WAY)


@dataclass(frozen=True)
class Line:
    """What would happen to one event: days after, reasons against, the crew check's stops.

    `told` people hear of it; `out` people of it are out in the field now.
    """

    event: EventRow
    first: date
    last: date
    reasons: tuple[Reason, ...]
    stops: tuple[Finding, ...]
    told: int
    asked: int
    out: int

    @property
    def passes(self) -> bool:
        """Whether it can be sent."""
        return not self.reasons


@dataclass(frozen=True)
class Trial:
    """A trial: each event, and to how many people one message goes."""

    wanted: Wanted
    lines: tuple[Line, ...]
    people: int

    @property
    def to_send(self) -> tuple[int, ...]:
        """The events that can be sent."""
        return tuple(line.event.id for line in self.lines if line.passes)


class _Tried(Exception):
    """Carries a trial out of the transaction that is rolled back."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        super().__init__("only tried")


def try_out(actor: Actor, wanted: Wanted, numbers: Sequence[int]) -> Trial:
    """What the change would do to each event, found by doing it and taking all of it back."""
    rules.check_wanted(wanted, numbers)

    def body(store: Store) -> Trial:
        lines, people = _carry_out(store, wanted, numbers, 0)
        raise _Tried(Trial(wanted, lines, people))

    try:
        return write(body, actor=actor)
    except _Tried as tried:
        return tried.trial


def send(actor: Actor, wanted: Wanted, numbers: Sequence[int], operation: str | None = None) -> int:
    """Do it to all of these events in one transaction; gives the trial's number.

    RuleBroken, and nothing done, if any of them can no longer be changed so.
    """
    rules.check_wanted(wanted, numbers)
    checks.text("why", wanted.why, most=500)

    def body(store: Store) -> int:
        before = {number: before_of(store, number) for number in sorted(set(numbers))}
        lines, _ = _carry_out(store, wanted, numbers, None)
        against = [reason for line in lines for reason in line.reasons]
        if against:
            raise RuleBroken(against)
        left = [_left(store, number, told) for number, told in before.items()]
        days = wanted.days if wanted.act is Act.MOVE else None
        values = {"act": wanted.act.value, "days": days, "lead": wanted.lead, "why": wanted.why}
        trial = store.events.add_trial(values, left)
        merge_in(store, trial, list(before))
        after = {"events": ", ".join(str(n) for n in before), "why": wanted.why}
        store.unit.note("sent_trial", "trial", trial, after=after)
        return trial

    return write(body, actor=actor, operation=operation)


def _left(store: Store, number: int, before: str) -> TrialEventRow:
    row = store.events.row(number)
    return TrialEventRow(number, row.n, row.crew_version, before)


def _carry_out(
    store: Store, wanted: Wanted, numbers: Sequence[int], trial: int | None
) -> tuple[tuple[Line, ...], int]:
    """Every event in the order of its number; `trial` merges the messages only to count them."""
    known = sorted(set(numbers))
    befores = {number: store.events.row(number) for number in known}
    against = {number: _try_one(store, wanted, number) for number in known}
    done = [number for number, reasons in against.items() if not reasons]
    for number in done:  # once more: the events may stand in each other's way
        crewcheck.refresh(store, number)
    out = store.events.people_out(known)
    told: dict[int, set[int]] = {}
    asked: dict[int, int] = {}
    for message in store.outbox.unsent_of(done):
        told.setdefault(message.event or 0, set()).add(message.person or 0)
        asked[message.event or 0] = asked.get(message.event or 0, 0) + (
            message.kind == "asked_again"
        )
    people = len(set().union(*told.values())) if told else 0
    if trial is not None:
        people = merge_in(store, trial, done)
    order = rules.in_order((Stage(r.stage), r.day, r.id) for r in befores.values())
    lines = []
    for number in order:
        after = store.events.row(number)
        lines.append(
            Line(
                befores[number],
                after.day,
                after.last_day,
                tuple(against[number]),
                () if against[number] else _stops(store, number),
                len(told.get(number, ())),
                asked.get(number, 0),
                out.get(number, 0),
            )
        )
    return tuple(lines), people


def _stops(store: Store, number: int) -> tuple[Finding, ...]:
    """What would stop it even if everybody who is asked again said yes."""
    if Stage(store.events.row(number).stage).is_over:
        return ()
    found = crewcheck.findings_if_all_say_yes(store, number)
    return tuple(f for f in found if f.level is Level.STOP)


def _try_one(store: Store, wanted: Wanted, number: int) -> list[Reason]:
    """Do it to one event; the reasons if it may not be, and then nothing of it is done."""
    event = store.events.locked(number)
    require(store, "event", number, "staff")
    today = store.unit.at.astimezone(ZoneInfo(event.time_zone)).date()
    against = rules.bars(event, wanted, today)
    if against:
        return against
    try:
        with store.unit.attempt():
            _act(store, wanted, event)
    except RuleBroken as refused:
        return list(refused.reasons)
    except (Conflict, BadInput) as refused:
        return [refused.reason]
    return []


def _act(store: Store, wanted: Wanted, event: Event) -> None:
    if wanted.act is Act.CALL_OFF:
        events.call_off_in(store, event, wanted.why)
    elif wanted.act is Act.SWAP_LEAD:
        leads.swap_in(store, event, wanted.lead or 0, wanted.why)
    else:
        start, end = rules.shifted(event, wanted.days)
        change = EventChange(local_start=start, local_end=end, why=wanted.why)
        event_changes.change_in(store, event, change)


@dataclass(frozen=True)
class Choice:
    """Events to choose from; `closure` is the name of the closure that touches them."""

    lines: tuple[EventLine, ...]
    out: dict[int, int]
    closure: str = ""


def choose(actor: Actor, numbers: Sequence[int], wanted: EventFilter | None = None) -> Choice:
    """Events by number, or the first hundred of a filter, that are not over; own regions only."""

    def body(store: Store) -> Choice:
        chosen = list(numbers)
        if wanted is not None:
            found, _ = store.events.lines(wanted, offset=0, limit=rules.MOST_EVENTS)
            chosen += [line.id for line in found]
        return _choice(store, actor, chosen)

    return read(body)


def touched(actor: Actor, closure: int) -> Choice:
    """The events that a closure touches, of one's own regions; NotFound if there is none."""

    def body(store: Store) -> Choice:
        found = store.places.closure(closure)
        if found is None:
            raise NotFound("closure", closure)
        near = store.events.open_between(found.from_at, found.until_at)
        hit = [n for n in near if closures_touching([found], landcheck.ground(store, n).stay)]
        return _choice(store, actor, hit, found.kind)

    return read(body)


def _choice(store: Store, actor: Actor, numbers: Sequence[int], closure: str = "") -> Choice:
    mine = None if actor.is_coordinator else actor.regions
    lines = store.events.lines_by_number(numbers, mine)
    alive = tuple(line for line in lines if line.stage in OPEN_STAGES)
    return Choice(alive, store.events.people_out([line.id for line in alive]), closure)
