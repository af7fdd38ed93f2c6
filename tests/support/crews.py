"""People cleared for a role and an open event, for tests of spots, crews and the day itself."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any, TypeVar

from roster.domain.events import EventKind
from roster.domain.people import Actor, ActorKind, Role, system
from roster.services import events, spots
from roster.services.event_changes import EventChange, change_event
from roster.store.models.people import held, person, person_address
from roster.store.registry import Store
from roster.store.transaction import read, write
from tests.support.land import EVENT_DAY, Land, land, new_event

T = TypeVar("T")
TEST = system("test")
SEASON_END = date(2027, 11, 1)
FULL = (Role.LEAD, Role.FIRST_AIDER)


def act(body: Callable[[Store], T], actor: Actor = TEST) -> T:
    """One write unit with a journal row."""

    def noted(store: Store) -> T:
        store.unit.note("test", "test", 0)
        return body(store)

    return write(noted, actor=actor)


def as_person(number: int) -> Actor:
    """That person as an actor."""
    return Actor(ActorKind.PERSON, f"V{number}", number)


def add_people(count: int, *roles: Role, **columns: Any) -> list[int]:
    """Adults cleared for these roles (crew member if none is named) up to the season's end."""

    def body(store: Store) -> list[int]:
        values = {"born_on": date(1985, 5, 1), "state": "active", "language": "en"} | columns
        names = [f"Person {n}" for n in range(1, count + 1)]
        if count == 1 and "name" in values:
            names = [values.pop("name")]
        rows = [
            {"name": name, "name_key": name, "added_at": store.unit.at} | values for name in names
        ]
        numbers = store.unit.insert_many(person, rows)
        clear(store, numbers, roles or (Role.CREW_MEMBER,))
        store.unit.insert_many(
            person_address,
            [
                {"person": n, "address": f"v{n}@example.org", "key": f"v{n}@example.org",
                 "use": "sign_in"}
                for n in numbers
            ],
        )  # fmt: skip
        return numbers

    return act(body)


def clear(
    store: Store, numbers: list[int], roles: tuple[Role, ...], until: date = SEASON_END
) -> None:
    """Write the interval table: cleared from 1 April 2027 until a day."""
    rows = [
        {"root": n, "role": r.value, "from_on": date(2027, 4, 1), "until_on": until}
        for n in numbers
        for r in dict.fromkeys((*roles, Role.CREW_MEMBER))
    ]
    store.unit.run(held.insert(), rows)


def lapse(number: int, role: Role, until: date) -> None:
    """A person's clearance in a role ends; `until` is the first day without it."""
    act(
        lambda s: s.unit.run(
            held.update()
            .where(held.c.root == number, held.c.role == role.value)
            .values(until_on=until)
        )
    )


def duty(ground: Land, event: int) -> None:
    """Give an event its duty person and stand-in."""
    one, other = add_people(2)
    change_event(ground.actor, event, EventChange(duty_person=one, stand_in=other))


def open_event(ground: Land | None = None, **changed: Any) -> int:
    """An event that takes sign-ups, 20 June 2027 unless said otherwise; gives its number."""
    ground = ground or land()
    number = events.create_event(TEST, new_event(ground, changed.pop("day", EVENT_DAY), **changed))
    events.open_event(TEST, number)
    return number


def meeting(capacity: int, ground: Land | None = None) -> int:
    """An open meeting, at which no spot is kept for anybody."""
    return open_event(ground, kind=EventKind.MEETING, capacity=capacity, populations=())


def states(event: int) -> dict[int, str]:
    """The state of each person's spot on an event."""
    return {s.person: s.state for s in read(lambda store: store.spots.of_event(event))}


def taken(event: int) -> int:
    """How many of an event's spots are taken, as the event says."""
    return read(lambda store: store.events.get(event)).taken


def seat(event: int, person: int, role: Role) -> None:
    """A person has agreed to a role (past the verdict), and holds its spot."""

    def body(store: Store) -> None:
        store.events.locked(event)
        store.leads.answer([store.leads.add_ask(event, person, role.value, None)], "agreed")
        spots.seat_in(store, event, person, role)
        store.spots.refresh_busy([person])

    act(body)


def crew(event: int, more: int = 1) -> list[int]:
    """A lead with first aid, a data collector and more; gives their numbers in this order."""
    [lead] = add_people(1, *FULL, name="Ana Ferrer", household="Ferrer")
    [collector] = add_people(1, Role.DATA_COLLECTOR, name="Mina Sato", household="Sato")
    seat(event, lead, Role.LEAD)
    seat(event, collector, Role.DATA_COLLECTOR)
    others = add_people(more)
    for number in others:
        spots.sign_up(as_person(number), event, number)
    return [lead, collector, *others]


def days_before(days: float) -> timedelta:
    """From 16 June 2027, 15:10 UTC, to so many days before the start of 20 June, 07:00 PDT."""
    return timedelta(days=3, hours=22, minutes=50) - timedelta(days=days)
