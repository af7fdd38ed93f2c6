"""Use cases of the phone list: whom to call before an event, and who was told by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.people import Actor
from roster.domain.phone_list import Heard, due_from, is_due
from roster.domain.reasons import Fact, Reason
from roster.services.access import require
from roster.services.crew_facts import minor_at
from roster.store.event_values import EventRow
from roster.store.outbox_values import Told
from roster.store.phone_list import Call, GuardianNumber
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read, write

MAY_CALL = ("staff", "lead", "duty")


@dataclass(frozen=True)
class PhoneLine:
    """One person to call: their number, for a minor first the guardians', and what reached them."""

    spot: SpotRow
    guardians: tuple[GuardianNumber, ...]
    is_minor: bool
    message: Told | None
    call: Call | None
    heard: Heard

    @property
    def seen_at(self) -> datetime | None:
        """When they said that they saw the newest message."""
        return self.message.seen_at if self.message else None


@dataclass(frozen=True)
class PhonePage:
    """The list of an event; no numbers are shown before it is due or after the event's end."""

    event: EventRow
    due: bool
    due_from: datetime
    lines: tuple[PhoneLine, ...]

    @property
    def untold(self) -> int:
        """How many are still to be told."""
        return sum(not line.heard.is_told for line in self.lines)


def phone_page(actor: Actor, event_id: int) -> PhonePage:
    """The list for staff, lead, data collector and duty person."""

    def body(store: Store) -> PhonePage:
        store.unit.actor = actor
        require(store, "event", event_id, *MAY_CALL)
        return _page(store, event_id)

    return read(body)


def tick(actor: Actor, event_id: int, person: int, told: bool, operation: str | None = None) -> int:
    """Somebody was told by phone by the actor, or (told False) was not after all.

    Gives how many are still to be told. Ticking twice changes nothing.
    """

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        require(store, "event", event_id, *MAY_CALL)
        page = _page(store, event_id)
        if not page.due:
            facts: dict[str, Fact] = {"at": page.due_from, "time_zone": page.event.time_zone}
            raise RuleBroken([Reason("phone_list_not_due", facts)])
        line = next((x for x in page.lines if x.spot.person == person), None)
        if line is None:
            raise BadInput("person", person, Reason("not_on_phone_list", {"person": person}))
        if told and line.heard.by_phone != line.heard.sent:
            store.phone_lists.add(event_id, person, line.heard.sent)
        elif not told:
            store.phone_lists.remove(event_id, person)
        verb = "told_by_phone" if told else "not_told_by_phone"
        after = {"person": person, "n": line.heard.sent}
        store.unit.note(verb, "event", event_id, region=event.region, after=after)
        return _page(store, event_id).untold

    return write(body, actor=actor, operation=operation)


def _page(store: Store, event_id: int) -> PhonePage:
    row = store.events.row(event_id)
    due = is_due(row.starts_at, row.ends_at, store.unit.at) and row.stage not in ("draft", "done")
    lines = _lines(store, row) if due else ()
    return PhonePage(row, due, due_from(row.starts_at), lines)


def _lines(store: Store, row: EventRow) -> tuple[PhoneLine, ...]:
    """Everybody on the crew, those first who are still to be told; numbers in three statements."""
    spots = [s for s in store.spots.of_event(row.id) if s.is_live]
    age = store.places.site(row.site).majority_age
    minors = {s.person for s in spots if minor_at(s, row.day, age)}
    guardians = store.phone_lists.guardians(minors, row.day) if minors else []
    calls, told = store.phone_lists.calls(row.id), store.outbox.told(row.id)
    lines = []
    for s in spots:
        mine = [t for t in told if t.person == s.person and t.n is not None]
        call = calls.get(s.person)
        lines.append(
            PhoneLine(
                spot=s,
                guardians=tuple(g for g in guardians if g.person == s.person),
                is_minor=s.person in minors,
                message=max(mine, key=lambda t: (t.n or 0, t.seen_at is not None), default=None),
                call=call,
                heard=Heard(
                    sent=max((t.n or 0 for t in mine), default=0),
                    seen=max((t.n or 0 for t in mine if t.seen_at), default=0),
                    by_phone=call.n if call else None,
                ),
            )
        )
    return tuple(sorted(lines, key=lambda x: (x.heard.is_told, x.spot.name, x.spot.id)))
