"""Offers of a spot that nobody answered: they end by themselves and the next is asked."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial

from roster.domain.events import Event
from roster.domain.moving import silent_who_make_room
from roster.domain.people import Role
from roster.domain.spots import SpotState
from roster.services import spots
from roster.services.jobs import Due
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read

JOB = "offers"
USELESS_AFTER = timedelta(days=2)


def due(at: datetime) -> list[Due]:
    """The slots of events with offers whose time is over at an instant."""
    events = read(lambda store: store.spots.overdue_offers(at))
    return [
        Due(JOB, f"event {e} at {at:%Y-%m-%dT%H:%M}", at + USELESS_AFTER, partial(_end, event_id=e))
        for e in events
    ]


def _end(store: Store, event_id: int) -> str:
    event = store.events.locked(event_id)
    over = [
        s
        for s in store.spots.of_event(event_id)
        if s.state == SpotState.OFFERED and s.offered_until and s.offered_until < store.unit.at
    ]
    for row in over:
        if not row.is_asked_again:
            spots.end_offer(store, event, row, "not answered in time")
    _silent(store, event, [row for row in over if row.is_asked_again])
    return f"{len(over)} offers ended"


def _silent(store: Store, event: Event, over: list[SpotRow]) -> None:
    """Who was asked again and said nothing: as many make room as wait; the others keep the spot.

    A lead or data collector never loses it by silence: somebody phones. None of them counts
    before a yes.
    """
    waiting = sum(s.state == SpotState.WAITING for s in store.spots.of_event(event.id))
    plain = [row for row in over if row.as_role not in (Role.LEAD, Role.DATA_COLLECTOR)]
    gone = plain[len(plain) - silent_who_make_room(len(plain), waiting) :]
    for row in over:
        if row in gone:
            spots.end_offer(store, event, row, "not answered in time")
        else:
            why = "not answered in time, spot kept"
            store.spots.change(row, SpotState.OFFERED, why, asked_n=row.asked_n)
    if over:
        after = {"silent": len(over), "made_room": len(gone)}
        store.unit.note("silent_after_move", "event", event.id, region=event.region, after=after)
