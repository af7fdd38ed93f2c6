"""The nearest fifty who are cleared and free, beside one look-up of a person by the ORM."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import cycle
from random import Random
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session, registry

from roster.domain.clearance import verdict
from roster.domain.geo import unit_vector
from roster.domain.people import Role
from roster.measure.crowd import SEED, TODAY, towns
from roster.measure.databases import kinds
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import Pair, interleaved
from roster.measure.standing import standing
from roster.store.lead_values import Reach
from roster.store.models.people import busy, person
from roster.store.registry import Store
from roster.store.transaction import read

NEAREST = 50
AT_MOST = {"sqlite": 4.0, "postgresql": 8.0}
CREW_AT_MOST = {"sqlite": 5.0, "postgresql": 10.0}
ROLES = (Role.LEAD, Role.CREW_MEMBER)
SITES = 12
Home = tuple[int, tuple[float, float, float]]


class Entity:
    """A person as the ORM gives it, for the look-up that a search is measured against."""


_entities = registry()


def reaches(role: str) -> list[Reach]:
    """Places and days that are searched: the towns are dense, their middle is not."""
    dice = Random(SEED + 3)  # noqa: S311 - the same places each time
    some = [*dice.sample(towns(), SITES - 2), (46.5, -118.0), (44.1, -120.9)]
    return [
        Reach(role, TODAY + timedelta(days=3 + i % 7), unit_vector(*place))
        for i, place in enumerate(some)
    ]


def naive(store: Store, role: Role, asked: list[Reach]) -> list[list[int]]:
    """The same asked of every person's facts, one after the other, in plain Python."""
    days = {reach.day for reach in asked}
    cleared: dict[date, list[Home]] = {day: [] for day in days}
    homes = {
        row.id: (row.x, row.y, row.z)
        for row in store.unit.run(
            select(person.c.id, person.c.x, person.c.y, person.c.z).where(person.c.x.is_not(None))
        )
    }
    out = {tuple(row) for row in store.unit.run(select(busy.c.day, busy.c.root))}
    for found in store.facts.everybody():
        for number, facts in found.items():
            if number in homes:
                for day in days:
                    if (day, number) not in out and verdict(facts, role, day).yes:
                        cleared[day].append((number, homes[number]))
    return [_nearest(reach, cleared[reach.day]) for reach in asked]


def _nearest(reach: Reach, homes: list[Home]) -> list[int]:
    x, y, z = reach.at
    dots = [(-(h[0] * x + h[1] * y + h[2] * z), number) for number, h in homes]
    return [number for _dot, number in sorted(dots)[:NEAREST]]


def differing(store: Store, role: Role) -> int:
    """How many searches do not give the people of the naive query, in its order."""
    asked = reaches(role)
    found = [[n.person for n in store.leads.nearest_free(r, NEAREST)] for r in asked]
    return sum(a != b for a, b in zip(found, naive(store, role, asked), strict=True))


def compared(kind: str, people: int, role: Role) -> Line:
    """One line: CPU of a search by that of a look-up, in one transaction, server included."""
    with standing(kind, people):
        wrong = read(lambda store: differing(store, role))
        meter = Meter.here()

        def timed(store: Store) -> tuple[list[float], list[float]]:
            sides = meter.side(_search(store, role)), meter.side(_look_up(store, people))
            return interleaved(*sides)

        above, below = read(timed)
    limit = (AT_MOST if role is Role.LEAD else CREW_AT_MOST)[kind]
    pair = Pair(f"leads.{role.value}", kind, people, above, below, at_most=limit)
    line = pair.line(f"{wrong} searches differ from the naive one" if wrong else None)
    return replace(line, goal="leads", more={**line.more, "server": meter.sees_server})


def _search(store: Store, role: Role) -> Callable[[], object]:
    turns = cycle(reaches(role))
    return lambda: store.leads.nearest_free(next(turns), NEAREST)


def _look_up(store: Store, people: int) -> Callable[[], object]:
    if not list(_entities.mappers):
        _entities.map_imperatively(Entity, person)
    session = Session(bind=store.unit.connection, autoflush=False)
    dice = Random(SEED + 4)  # noqa: S311 - the same people each time

    def look_up() -> Any:
        session.expunge_all()
        found = session.get(Entity, dice.randrange(2, people + 2))
        assert found is not None  # noqa: S101 - a look-up of nobody would be too cheap
        return found

    return look_up


def lines(people: int) -> Iterator[Line]:
    """Two lines for each database: leads, and crew members, who are many."""
    for kind in kinds():
        for role in ROLES:
            yield compared(kind, people, role)
