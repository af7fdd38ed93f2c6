"""Changing an event: its time, place of meeting, spots, duty; fixing the day of a window."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.event_times import span_to_utc, window_to_utc
from roster.domain.events import DateState, Event, Stage
from roster.domain.moving import asks_again
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Reason
from roster.domain.window import days_between
from roster.services import checks, crewcheck, invites, spots
from roster.services.access import require
from roster.services.asked_again import ask_again_in
from roster.services.fixing import settle_in
from roster.store.registry import Store
from roster.store.transaction import write

CHANGEABLE = (Stage.DRAFT, Stage.OPEN, Stage.READY)


@dataclass(frozen=True)
class EventChange:
    """What an event becomes; None leaves a value as it is. `why` is told to everybody on it."""

    local_start: datetime | None = None
    local_end: datetime | None = None
    capacity: int | None = None
    minimum_crew: int | None = None
    vehicles: int | None = None
    meeting: str | None = None
    notes: str | None = None
    duty_person: int | None = None
    stand_in: int | None = None
    manager_told_on: date | None = None
    why: str = ""


def change_event(
    actor: Actor, event_id: int, wanted: EventChange, operation: str | None = None
) -> int:
    """Change an event that has not begun; who is on it is told if time or place moved.

    A ready event whose time moved is open again until it is checked anew. Gives its number.
    """

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        require(store, "event", event_id, "staff")
        change_in(store, event, wanted)
        return event_id

    return write(body, actor=actor, operation=operation)


def change_in(store: Store, event: Event, wanted: EventChange) -> None:
    """Inside another use case: the same for a locked event, past the question who may."""
    _check_stage(event)
    _apply(store, event, wanted)
    if (wanted.capacity or 0) > event.capacity:
        spots.fill_in(store, event.id)


def fix_day(
    actor: Actor, event_id: int, start: datetime, end: datetime, operation: str | None = None
) -> int:
    """Fix the day of an expected window: the event is then on one day. Gives its number.

    Who ticked the day is placed, offered a spot or put in line as the hours left allow; the others
    who asked are told, and may still sign up.
    """

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        require(store, "event", event_id, "staff")
        _check_stage(event)
        if event.is_fixed:
            raise RuleBroken([Reason("day_already_fixed", {"event": event_id})])
        if not event.first_day <= start.date() <= event.last_day:
            facts: dict[str, Fact] = {"day": start.date(), "first": event.first_day}
            facts |= {"last": event.last_day}
            raise BadInput("local_start", start, Reason("day_outside_window", facts))
        columns = _times(event, start, end, DateState.FIXED)
        store.events.change(event_id, **columns)
        _after(store, event, columns, "fixed_day", "")
        return event_id

    return write(body, actor=actor, operation=operation)


def _check_stage(event: Event) -> None:
    if event.stage not in CHANGEABLE:
        facts: dict[str, Fact] = {"event": event.id, "stage": event.stage}
        raise RuleBroken([Reason("event_not_changeable", facts)])


def _times(
    event: Event, start: datetime, end: datetime, date_state: DateState
) -> dict[str, object]:
    to_utc = span_to_utc if date_state is DateState.FIXED else window_to_utc
    starts_at, ends_at = to_utc(start, end, event.time_zone)
    return {
        "date_state": date_state.value,
        "local_start": start,
        "local_end": end,
        "starts_at": starts_at,
        "ends_at": ends_at,
        "day": start.date(),
        "last_day": end.date(),
    }


def _apply(store: Store, event: Event, wanted: EventChange) -> None:
    columns: dict[str, object] = {}
    start, end = wanted.local_start or event.local_start, wanted.local_end or event.local_end
    moved = (start, end) != (event.local_start, event.local_end)
    if moved:
        columns |= _moved(store, event, start, end)
    columns |= _sizes(event, wanted)
    for name in ("duty_person", "stand_in", "manager_told_on"):
        if getattr(wanted, name) is not None:
            columns[name] = getattr(wanted, name)
    if wanted.meeting is not None:
        columns["meeting"] = checks.text("meeting", wanted.meeting, most=500)
    if wanted.notes is not None:
        columns["notes"] = checks.text("notes", wanted.notes, most=4000, needed=False)
    if not columns:
        return
    before = store.events.row(event.id)
    store.events.change(event.id, **columns)
    place = "meeting" in columns and columns["meeting"] != before.meeting
    what = "moved" if moved else "changed" if place else ""
    _after(store, event, columns, what, checks.text("why", wanted.why, most=500, needed=False))


def _moved(store: Store, event: Event, start: datetime, end: datetime) -> dict[str, object]:
    if not event.is_fixed:
        store.events.set_possible_days(event.id, days_between(start.date(), end.date()))
    stage = {"stage": Stage.OPEN.value} if event.stage is Stage.READY else {}
    return _times(event, start, end, event.date_state) | stage


def _sizes(event: Event, wanted: EventChange) -> dict[str, object]:
    columns: dict[str, object] = {}
    if wanted.capacity is not None:
        columns["capacity"] = checks.whole("capacity", wanted.capacity, 1, 500)
        if wanted.capacity < event.taken:
            facts = {"value": wanted.capacity, "taken": event.taken}
            raise BadInput("capacity", wanted.capacity, Reason("capacity_below_taken", facts))
    if wanted.minimum_crew is not None:
        columns["minimum_crew"] = checks.whole("minimum_crew", wanted.minimum_crew, 1, 50)
    if wanted.vehicles is not None:
        columns["vehicles"] = checks.whole("vehicles", wanted.vehicles, 0, 100)
    return columns


def _after(store: Store, event: Event, columns: dict[str, object], what: str, why: str) -> None:
    """Revision and messages if somebody has to know; journal, check and busy days always."""
    told = {"fixed_day": "moved"}.get(what, what)
    n = store.events.revise(event.id, why or what) if what else 0
    asked = _ask_again(store, event, n) if what == "moved" else {}
    if what == "fixed_day":
        settle_in(store, store.events.get(event.id))
    before = {name: getattr(event, name, None) for name in columns}
    store.unit.note(
        what or "changed",
        "event",
        event.id,
        region=event.region,
        before=before,
        after=columns | ({"why": why} if why else {}),
    )
    if "day" in columns:
        store.spots.refresh_busy(sorted(store.events.people_on(event.id)))
    crewcheck.refresh(store, event.id)
    if what and (asked or event.stage is not Stage.DRAFT):
        invites.event_changed(store, event.id, n, told, asked)


def _ask_again(store: Store, before: Event, n: int) -> dict[int, int]:
    """A move of a fixed event asks each placed person again; the links of who is asked."""
    now = store.events.get(before.id)
    times = (before.local_start, before.local_end), (now.local_start, now.local_end)
    return ask_again_in(store, now, n) if before.is_fixed and asks_again(*times) else {}
