"""Offers of a spot that nobody answered: they end by themselves and the next is asked."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial

from roster.domain.spots import SpotState
from roster.services import spots
from roster.services.jobs import Due
from roster.store.registry import Store
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
        spots.end_offer(store, event, row, "not answered in time")
    return f"{len(over)} offers ended"
