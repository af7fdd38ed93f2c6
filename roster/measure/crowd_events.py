"""The events of a crowd: a season full of them, with crews, by bulk rows through the store.

The summaries of the events of the days to come are made by the crew check itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from roster.measure.crowd import ACTOR, SEED, TODAY, ZONE, Ground
from roster.services import crewcheck
from roster.store.models.events import event, event_population, event_summary, lead_ask, spot
from roster.store.models.people import busy, held
from roster.store.registry import Store
from roster.store.transaction import read, write

DAYS = 200
BACK = 20
CREW_OF = (1, 2, 3, 4, 5, 6)
LEADLESS, COLLECTORLESS = 0.1, 0.1
TRIES = 60
AHEAD = 14
"""So many days ahead, today included, the crew check makes the summaries."""

Spans = Mapping[str, Sequence[tuple[int, date, date | None]]]


@dataclass(frozen=True)
class Outing:
    """One event with its crew: pairs of person and role."""

    day: date
    place: int
    minimum: int
    crew: tuple[tuple[int, str], ...]


def outings(count: int, places: int, spans: Spans) -> Iterator[Outing]:
    """So many events over the season; nobody is on two in a day."""
    dice = Random(SEED + 2)  # noqa: S311 - invented events, the same each time
    taken: set[tuple[date, int]] = set()

    def somebody(role: str, day: date) -> Iterator[tuple[int, str]]:
        for _ in range(TRIES):
            person, first, until = dice.choice(spans[role])
            holds = first <= day and (until is None or until > day)
            if holds and (day, person) not in taken:
                taken.add((day, person))
                yield person, role
                return

    for number in range(count):
        day = TODAY + timedelta(days=number % DAYS - BACK)
        crew: list[tuple[int, str]] = []
        if dice.random() >= LEADLESS:
            crew += somebody("lead", day)
        if dice.random() >= COLLECTORLESS:
            crew += somebody("data_collector", day)
        for _ in range(dice.choice(CREW_OF)):
            crew += somebody("crew_member", day)
        yield Outing(day, dice.randrange(places), 3, tuple(crew))


def send_out(ground: Ground, count: int) -> list[int]:
    """Put so many events with their crews on record; their numbers."""
    spans = read(_spans)
    found = list(outings(count, len(ground.sites), spans))

    def body(store: Store) -> list[int]:
        rows = [_event(ground, one, n) for n, one in enumerate(found)]
        numbers = list(store.exchange.add_many(event, rows))
        _crews(store, ground, numbers, found)
        store.unit.note("filled", "events", "all", after={"n": len(found)})
        return numbers

    numbers = write(body, actor=ACTOR)
    soon = {TODAY + timedelta(days=i) for i in range(AHEAD)}
    near = [n for n, one in zip(numbers, found, strict=True) if one.day in soon]
    for start in range(0, len(near), 200):
        write(lambda store, s=start: _check(store, near[s : s + 200]), actor=ACTOR)  # type: ignore[misc]
    return numbers


def _spans(store: Store) -> Spans:
    rows = store.unit.run(
        select(held.c.role, held.c.root, held.c.from_on, held.c.until_on).order_by(
            held.c.role, held.c.root, held.c.from_on
        )
    )
    found: dict[str, list[tuple[int, date, date | None]]] = {}
    for row in rows:
        found.setdefault(row.role, []).append((row.root, row.from_on, row.until_on))
    return found


def _event(ground: Ground, one: Outing, n: int) -> dict[str, Any]:
    start, end = datetime.combine(one.day, time(7)), datetime.combine(one.day, time(12))
    zone = ZoneInfo(ZONE)
    return {
        "uid": f"crowd-{n}@example.org", "kind": "collecting", "title": f"Balsamroot {n}",
        "season": ground.season, "site": ground.sites[one.place],
        "region": ground.regions[one.place],
        "stage": "done" if one.day < TODAY else "open", "date_state": "fixed",
        "outcome": "collected" if one.day < TODAY else None,
        "capacity": 12, "taken": len(one.crew), "minimum_crew": one.minimum, "coverage": 1,
        "vehicles": 3, "local_start": start, "local_end": end, "time_zone": ZONE,
        "starts_at": start.replace(tzinfo=zone).astimezone(UTC),
        "ends_at": end.replace(tzinfo=zone).astimezone(UTC), "day": one.day,
        "last_day": one.day, "meeting": f"Car park {one.place:02}", "n": 1, "sequence": 0,
        "made_at": datetime(2027, 5, 1, tzinfo=UTC),
    }  # fmt: skip


def _crews(store: Store, ground: Ground, numbers: Sequence[int], found: Sequence[Outing]) -> None:
    at = store.unit.at
    pairs = list(zip(numbers, found, strict=True))
    of_crew = [(n, one, person, role) for n, one in pairs for person, role in one.crew]
    add = store.exchange.add_many
    add(spot, [
        {"event": n, "person": person, "role": role, "changed_at": at,
         "state": "came" if one.day < TODAY else "placed"}
        for n, one, person, role in of_crew
    ])  # fmt: skip
    add(lead_ask, [
        {"event": n, "person": person, "role": role, "state": "agreed", "asked_at": at,
         "answered_at": at}
        for n, _one, person, role in of_crew
        if role in ("lead", "data_collector")
    ])  # fmt: skip
    run = store.unit.run
    run(event_population.insert(), [
        {"event": n, "population": ground.populations[one.place], "ordinal": 1} for n, one in pairs
    ])  # fmt: skip
    days = [{"day": one.day, "root": person, "events": 1} for _n, one, person, _role in of_crew]
    run(busy.insert(), days)
    run(event_summary.insert(), [_summary(n, one, at) for n, one in pairs])


def _summary(number: int, one: Outing, at: datetime) -> dict[str, Any]:
    """What the crew check counts; its findings are made only for the days to come."""
    over = one.day < TODAY
    roles = [] if over else [role for _person, role in one.crew]
    short = 0 if over else max(one.minimum - len(roles), 0)
    return {
        "event": number, "day": one.day, "placed": len(roles), "waiting": 0,
        "leads": roles.count("lead"), "collectors": roles.count("data_collector"),
        "adults": len(roles), "short": short,
        "stops": int(not over and (short > 0 or "lead" not in roles)),
        "cautions": 0, "findings": "[]", "checked_at": at,
    }  # fmt: skip


def _check(store: Store, numbers: Sequence[int]) -> None:
    for number in numbers:
        crewcheck.refresh(store, number)
    store.unit.note("checked", "events", "soon", after={"n": len(numbers)})
