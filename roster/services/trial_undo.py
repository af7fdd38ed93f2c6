"""Taking a sent trial back, while no mail has left and nobody has acted on it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from roster.domain import trial as rules
from roster.domain.errors import NotFound, RuleBroken
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.domain.spots import SpotState
from roster.domain.trial import Left
from roster.services import crewcheck, feeds
from roster.services.access import require
from roster.services.calendar_entries import keep_texts
from roster.services.merging import mark
from roster.store.event_values import EventRow
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.trial_rows import TrialEventRow, TrialRow

COLUMNS = ("stage", "called_off_why", "local_start", "local_end", "starts_at", "ends_at")
WHY = "taken back"


def before_of(store: Store, number: int) -> str:
    """How an event stands, as JSON: what a trial may change of it, its spots, asks, messages."""
    row = store.events.row(number)
    kept: dict[str, Any] = {name: _plain(getattr(row, name)) for name in COLUMNS}
    return json.dumps(
        {
            "event": kept,
            "spots": [
                [s.person, s.role, s.state, s.line_no, _plain(s.offered_until), s.asked_n]
                for s in store.spots.of_event(number)
            ],
            "asks": {str(a.id): a.state for a in store.leads.asks(number)},
            "unsent": [m.id for m in store.outbox.unsent_of([number], copies=True)],
        }
    )


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, datetime) else value


@dataclass(frozen=True)
class Sent:
    """A trial that was sent, its events as they stand, and what bars taking it back."""

    row: TrialRow
    events: tuple[EventRow, ...]
    bars: tuple[Reason, ...]


def sent(actor: Actor, number: int) -> Sent:
    """A sent trial, for staff of all its events."""

    def body(store: Store) -> Sent:
        store.unit.actor = actor
        row, kept = _kept(store, number)
        rows = tuple(store.events.row(one.event) for one in kept)
        return Sent(row, rows, tuple(_bars(store, row, kept)))

    return read(body)


def _kept(store: Store, number: int) -> tuple[TrialRow, list[TrialEventRow]]:
    row = store.events.trial(number)
    if row is None:
        raise NotFound("trial", number)
    kept = store.events.trial_events(number)
    for one in kept:
        require(store, "event", one.event, "staff")
    return row, kept


def _bars(store: Store, row: TrialRow, kept: list[TrialEventRow]) -> list[Reason]:
    if row.undone_at is not None:
        return [Reason("trial_taken_back", {"trial": row.id, "at": row.undone_at})]
    gone = store.outbox.gone_since([one.event for one in kept], row.sent_at, mark(row.id))
    stands = []
    for one in kept:
        now = store.events.row(one.event)
        left = gone.get(one.event, 0) + gone.get(0, 0)
        versions = (one.n, now.n), (one.crew_version, now.crew_version)
        stands.append(Left(one.event, *versions, left))
    return rules.bars_undo(stands)


def take_back(actor: Actor, number: int, operation: str | None = None) -> int:
    """Put every event of a trial back as it was; nobody hears of either. Gives its number.

    RuleBroken once a mail has left or somebody has acted: then make the opposite change.
    """

    def body(store: Store) -> int:
        _, kept = _kept(store, number)
        for one in kept:
            store.events.locked(one.event)
        row, kept = _kept(store, number)
        against = _bars(store, row, kept)
        if against:
            raise RuleBroken(against)
        store.outbox.take_back_of([one.event for one in kept], mark(number))
        for one in kept:
            _put_back(store, one)
        store.events.end_trial(number)
        store.unit.note("took_back_trial", "trial", number)
        return number

    return write(body, actor=actor, operation=operation)


def _put_back(store: Store, one: TrialEventRow) -> None:
    before = json.loads(one.before)
    columns = {
        name: datetime.fromisoformat(value) if name in COLUMNS[2:] else value
        for name, value in before["event"].items()
    }
    columns |= {"day": columns["local_start"].date(), "last_day": columns["local_end"].date()}
    store.events.change(one.event, **columns)
    people = store.events.people_on(one.event)
    _spots_back(store, one.event, before["spots"])
    store.events.put_asks(_asks_back(store, one.event, before["asks"]))
    store.spots.recount(one.event)
    n = store.events.revise(one.event, WHY)
    store.outbox.release(dict.fromkeys(before["unsent"], n))
    people |= store.events.people_on(one.event)
    store.spots.refresh_busy(sorted(people))
    crewcheck.refresh(store, one.event)
    keep_texts(store, one.event)
    event = store.events.get(one.event)
    feeds.touch(store, sorted(people), event.region)
    store.unit.note("taken_back", "event", one.event, region=event.region)


def _spots_back(store: Store, event: int, kept: list[list[Any]]) -> None:
    was = {person: rest for person, *rest in kept}
    for row in store.spots.of_event(event):
        if row.person not in was:
            store.spots.change(row, SpotState.WITHDRAWN, WHY)
            continue
        role, state, line_no, until, asked_n = was[row.person]
        if (role, state, asked_n) == (row.role, row.state, row.asked_n):
            continue
        store.spots.change(
            row, SpotState(state), WHY, role=role, line_no=line_no, asked_n=asked_n,
            offered_until=datetime.fromisoformat(until) if until else None,
        )  # fmt: skip


def _asks_back(store: Store, event: int, was: dict[str, str]) -> dict[int, str]:
    """The states of questions that differ from before; one that is new is replaced."""
    found = {a.id: was.get(str(a.id), "replaced") for a in store.leads.asks(event)}
    return {a.id: found[a.id] for a in store.leads.asks(event) if a.state != found[a.id]}
