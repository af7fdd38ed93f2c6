"""Emergency contacts of a crew: opened with a reason, on record before they are seen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from roster.domain.errors import RuleBroken
from roster.domain.events import Event
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Reason
from roster.domain.spots import SpotState
from roster.services import checks
from roster.services.access import require
from roster.store.crew_rows import ContactRow
from roster.store.event_values import EventRow
from roster.store.registry import Store
from roster.store.transaction import write

ON_CREW = (SpotState.PLACED, SpotState.CAME)
BEFORE, AFTER = timedelta(hours=48), timedelta(hours=24)
"""So long before the start and after the end who is no staff may open them (our own default)."""


@dataclass(frozen=True)
class Contacts:
    """The contacts of everybody on the crew, by name of the person; `missing` have none."""

    event: EventRow
    rows: tuple[tuple[str, ContactRow], ...]
    missing: tuple[str, ...]


def open_contacts(actor: Actor, event_id: int, reason: str) -> Contacts:
    """The emergency contacts of a crew, for its lead, duty person and staff; a reason is needed.

    Who is no staff opens them from 48 hours before the start to 24 hours after the end.
    """
    told = checks.text("reason", reason, most=300)

    def body(store: Store) -> Contacts:
        event = store.events.locked(event_id)
        require(store, "event", event_id, "staff", "lead", "duty")
        _in_hours(store, event)
        crew = [s for s in store.spots.of_event(event_id) if s.state in ON_CREW]
        names = {s.person: s.name for s in crew}
        found = store.spots.contacts_of(list(names))
        store.unit.note(
            "opened_contacts", "event", event_id, region=event.region, after={"why": told}
        )
        have = {c.person for c in found}
        return Contacts(
            store.events.row(event_id),
            tuple((names[c.person], c) for c in found),
            tuple(name for number, name in names.items() if number not in have),
        )

    return write(body, actor=actor)


def _in_hours(store: Store, event: Event) -> None:
    first, last = event.starts_at - BEFORE, event.ends_at + AFTER
    if store.unit.actor.is_staff or first <= store.unit.at <= last:
        return
    facts: dict[str, Fact] = {"from_at": first, "until_at": last, "time_zone": event.time_zone}
    raise RuleBroken([Reason("contacts_not_now", facts)])
