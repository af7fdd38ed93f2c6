"""A published event with a crew, and short ways to act on it, for tests of mail and calendars."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, TypeVar

from sqlalchemy import select, update

from roster.domain.people import Actor, ActorKind, system
from roster.services import delivery, invites
from roster.store.models.events import event, lead_ask, spot
from roster.store.models.messages import outbox
from roster.store.models.people import person
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.store.transaction import read, write
from tests.support.world import World, build

T = TypeVar("T")
UID = "7f0c2a4e-8f0b-4c39-9d52-3f3b3b0a5b11"
TEST = system("test")


def act(body: Callable[[Store], T], actor: Actor = TEST) -> T:
    """One write unit with its journal row."""

    def noted(store: Store) -> T:
        store.unit.note("test", "event", 0)
        return body(store)

    return write(noted, actor=actor)


def person_actor(number: int) -> Actor:
    """A person as the actor of an act."""
    return Actor(ActorKind.PERSON, f"V{number}", number)


def published(days_ahead: int = 10) -> World:
    """The small world with its own event published, some days after 16 June 2027."""
    world = build()
    number = world.events["own"]
    act(
        lambda s: s.events.change(world.events["other"], uid="52a6d1f0-5a44-4f4c-8a2e-8f1f4dd02c3c")
    )
    act(lambda s: s.events.change(number, uid=UID, title="Arrowleaf balsamroot", meeting="Gate"))
    move(world, timedelta(days=days_ahead - 3), "opened")
    return world


def move(world: World, step: timedelta, what: str = "moved", why: str = "") -> int:
    """Move the event and tell everyone; gives the new revision."""
    number = world.events["own"]

    def body(store: Store) -> int:
        row = store.events.row(number)
        start, end = row.local_start + step, row.local_end + step
        store.events.change(
            number, local_start=start, local_end=end, day=start.date(), last_day=end.date(),
            starts_at=row.starts_at + step, ends_at=row.ends_at + step,
        )  # fmt: skip
        n = store.events.revise(number, why or what)
        invites.event_changed(store, number, n, what)
        return n

    return act(body)


def call_off(world: World, why: str) -> int:
    """Call the event off and tell everyone; how many."""
    number = world.events["own"]

    def body(store: Store) -> int:
        store.events.change(number, stage="called_off", called_off_why=why)
        n = store.events.revise(number, why)
        return invites.event_changed(store, number, n, "called_off")

    return act(body)


def put(world: World, who: str, state: str, actor: Actor = TEST, **values: Any) -> None:
    """Give a person of the world a spot in a state, and tell them as the state asks."""
    number, one = world.events["own"], world.people[who]

    def body(store: Store) -> None:
        known = select(spot.c.id).where(spot.c.event == number, spot.c.person == one)
        row = {"state": state, "changed_at": store.unit.at, **values}
        if store.unit.run(known).first():
            mine = (spot.c.event == number, spot.c.person == one)
            store.unit.run(update(spot).where(*mine).values(**row))
        else:
            store.unit.insert(spot, event=number, person=one, role="crew_member", **row)
        invites.spot_changed(store, number, one, state)

    act(body, actor)


def ask(world: World, who: str, state: str = "asked", until: datetime | None = None) -> int:
    """Ask a person of the world to collect data; gives the number of the asking."""
    number, one = world.events["own"], world.people[who]

    def body(store: Store) -> int:
        asked = store.unit.insert(
            lead_ask, event=number, person=one, role="data_collector", state=state,
            until=until, asked_at=store.unit.at,
        )  # fmt: skip
        if state == "asked":
            invites.lead_asked(store, number, one, "data_collector", asked)
        else:
            invites.lead_agreed(store, number, one, "data_collector")
        return asked

    return act(body)


def settle(world: World, who: str, state: str) -> None:
    """End the asking of a person of the world (lapsed, replaced) and tell them."""
    number, one = world.events["own"], world.people[who]

    def body(store: Store) -> None:
        mine = (lead_ask.c.event == number, lead_ask.c.person == one)
        store.unit.run(update(lead_ask).where(*mine).values(state=state))
        invites.lead_replaced(store, number, one, "data_collector")

    act(body)


def queued(*states: str) -> list[Queued]:
    """Messages in these states (all if none is named), oldest first."""
    rows = read(lambda store: store.outbox.page(None, 500, states))
    return sorted(rows, key=lambda row: row.id)


def kinds(world: World, *states: str) -> list[tuple[str, str]]:
    """Kind and audience name of each message, in order; guardians' copies go to `guardian`."""
    names = {number: name for name, number in world.people.items()}
    return [
        (row.kind, "guardian" if row.guardian else names.get(row.person or 0, "?"))
        for row in queued(*states)
    ]


def change_event(world: World, **columns: Any) -> None:
    """Set columns of the event without telling anybody."""
    number = world.events["own"]
    act(lambda s: s.unit.run(update(event).where(event.c.id == number).values(**columns)))


def change_person(number: int, **columns: Any) -> None:
    """Set columns of a person."""
    act(lambda s: s.unit.run(update(person).where(person.c.id == number).values(**columns)))


def change_message(number: int, **columns: Any) -> None:
    """Set columns of a queued message."""
    act(lambda s: s.unit.run(update(outbox).where(outbox.c.id == number).values(**columns)))


def send_all(sender: Any, owner: str = "test") -> dict[str, int]:
    """Send what is due until nothing is left; how many ended in each state."""
    total = delivery.send_due(sender, owner)
    while more := delivery.send_due(sender, owner):
        total += more
    return dict(total)
