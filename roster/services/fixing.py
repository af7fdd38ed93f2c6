"""When the day of a window is fixed: who ticked that day is placed, offered a spot, or waits."""

from __future__ import annotations

from typing import Any

from roster.domain.events import Event
from roster.domain.spots import InLine, SpotState
from roster.domain.window import fixing
from roster.services import invites
from roster.services.spot_wishes import of_spot, openings, wishes
from roster.store.registry import Store


def settle_in(store: Store, event: Event) -> None:
    """Inside fixing the day: settle who ticked it, first come first served, and tell them.

    The event is locked and its day is written. Who ticked only other days, or may not come, stays
    on the list of those who asked; the caller tells them of the day.
    """
    ticks = store.events.ticks(event.id)
    ticked = {person for person, days in ticks.items() if event.first_day in days}
    rows = {s.person: s for s in store.spots.of_event(event.id) if s.person in ticked}
    if not rows:
        return
    wanted = wishes(store, event, [of_spot(s) for s in rows.values()])
    line = [InLine(rows[w.person].id, w) for w in wanted]
    found = fixing(openings(store, event), line, store.unit.at)
    last = store.spots.next_line(event.id)
    states: list[tuple[int, SpotState, dict[str, Any]]] = [
        *((p, SpotState.PLACED, {}) for p in found.placed),
        *((p, SpotState.OFFERED, {"offered_until": found.until}) for p in found.offered),
        *((p, SpotState.WAITING, {"line_no": last + n}) for n, p in enumerate(found.waiting)),
    ]
    for person, state, columns in states:
        store.spots.change(rows[person], state, "the day was fixed", **columns)
    if states:
        store.spots.recount(event.id)
    for person, state, _ in states:
        after = {"person": person, "state": state.value}
        store.unit.note("settled", "event", event.id, region=event.region, after=after)
        invites.spot_changed(store, event.id, person, state.value)
