"""Use cases of the collection record: count first, then what was taken, or why nothing was."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roster.domain.collecting import (
    YEARS_LOOKED_AT,
    PlantLimits,
    StandCount,
    Taken,
    Visit,
    check_taken,
    fruits_of,
    limit_on,
)
from roster.domain.errors import BadInput, RuleBroken
from roster.domain.events import Event, EventKind, Stage
from roster.domain.harvest import Most, NothingToTake
from roster.domain.land import Permission
from roster.domain.people import Actor
from roster.domain.ranges import at_least
from roster.domain.reasons import Fact, Reason
from roster.services import checks, clock
from roster.services.access import require
from roster.store.collections import CollectionRow
from roster.store.plant_values import PopulationRow
from roster.store.registry import Store
from roster.store.transaction import read, write

RELEASE = "seasons_share_taken"
"""The stop for which a coordinator may answer on an event, so that collecting goes on."""


@dataclass(frozen=True)
class ToRecord:
    """One population of an event: its record so far, the limit by it, and all others' records."""

    population: PopulationRow
    record: CollectionRow | None
    limit: Most | NothingToTake | None
    others: tuple[CollectionRow, ...]

    @property
    def taken_by_others(self) -> float:
        """Fruits that all other crews and visits of the season took."""
        return sum(other.taken_fruits or 0 for other in self.others)


def page(actor: Actor, event_id: int) -> tuple[ToRecord, ...]:
    """The populations of an event to be recorded; for its lead, data collector, duty, staff."""

    def body(store: Store) -> tuple[ToRecord, ...]:
        store.unit.actor = actor
        require(store, "event", event_id, "staff", "lead", "duty")
        return to_record(store, store.events.get(event_id))

    return read(body)


def to_record(store: Store, event: Event) -> tuple[ToRecord, ...]:
    """Every population of an event with its record, in a fixed number of statements."""
    rows = store.places.populations_of_event(event.id)
    numbers = [row.id for row in rows]
    season = store.collections.in_season(numbers, store.events.row(event.id).season)
    day = _day(event)
    known = _known(store, event, numbers, day)
    found = []
    for row in rows:
        of_it = [r for r in season if r.population == row.id]
        own = next((r for r in of_it if r.event == event.id), None)
        others = tuple(r for r in of_it if r.event != event.id)
        on = own.on if own else day
        limit = limit_on(on, _stand(own), known.plant(row), _visits(others)) if own else None
        found.append(ToRecord(row, own, limit, others))
    return tuple(found)


@dataclass(frozen=True)
class _Known:
    day: date
    permissions: tuple[Permission, ...]
    released: bool
    years: dict[int, int]

    def plant(self, row: PopulationRow) -> PlantLimits:
        """The limits of one population."""
        here = [p for p in self.permissions if p.holds_on(self.day) and row.taxon in p.taxa]
        return PlantLimits(
            rare=bool(row.rare),
            listed=bool(row.listed),
            listed_permit=next((p.listed_permit for p in here if p.listed_permit), ""),
            permitted_share=min((p.max_share for p in here), default=None),
            season_released=self.released,
            harvested_years=self.years.get(row.id, 0),
        )


def count_stand(
    actor: Actor,
    event_id: int,
    population: int,
    stand: StandCount,
    operation: str | None = None,
) -> str:
    """Record what was counted before the first fruit is taken; gives the collection's number.

    The most to take is worked out and kept with rule set, version and source. Counting again
    replaces the record under the same number; what was taken stays.
    """

    def body(store: Store) -> str:
        event = _held(store, event_id, population)
        one = _one(store, event, population)
        day = one.record.on if one.record else _day(event)
        limit = _limit(store, event, one, stand, day)
        counted: dict[str, Any] = {
            "plants_at_dispersal": stand.plants_at_dispersal,
            "fruits": stand.fruits_per_plant,
            "seeds": stand.seeds_per_fruit,
            "looked_at": stand.looked_at,
            "good": stand.good,
            "seeds_per_gram": stand.seeds_per_gram,
            "crop": stand.crop,
        }
        number = _replace(store, event, one, counted | _said(limit) | {"on": day})
        after = counted | {"number": number, "population": population} | _said(limit)
        store.unit.note(
            "counted_stand", "event", event_id, region=event.region, after=_plain(after)
        )
        return number

    return write(body, actor=actor, operation=operation)


def record_taken(
    actor: Actor, event_id: int, population: int, taken: Taken, operation: str | None = None
) -> str:
    """Record what was taken from a counted population, or why nothing was; gives the number.

    More than the limit is refused unless the crew says that it was taken all the same.
    """
    voucher = checks.text("voucher", taken.voucher, most=80, needed=False)

    def body(store: Store) -> str:
        event = _held(store, event_id, population)
        one = _one(store, event, population)
        if one.record is None or one.limit is None:
            raise RuleBroken([Reason("count_the_stand_first")])
        fruits = fruits_of(taken, _stand(one.record))
        check_taken(taken, fruits, one.limit)
        values: dict[str, Any] = {
            "taken": taken.amount,
            "taken_unit": taken.unit.value,
            "taken_fruits": fruits,
            "nothing_taken": taken.nothing.value if taken.nothing else None,
            "bagging": taken.bagging.value,
            "mothers": taken.mothers,
            "voucher": voucher or None,
        }
        number = _replace(store, event, one, values | _said(one.limit))
        after = values | {"number": number, "population": population}
        store.unit.note(
            "recorded_collection", "event", event_id, region=event.region, after=_plain(after)
        )
        return number

    return write(body, actor=actor, operation=operation)


def _held(store: Store, event_id: int, population: int) -> Event:
    """The event locked, under way (staff: also done), collecting, with the population held too."""
    event = store.events.locked(event_id)
    require(store, "event", event_id, "lead", "staff")
    facts: dict[str, Fact] = {"event": event_id, "stage": event.stage, "kind": event.kind}
    if event.kind is not EventKind.COLLECTING:
        raise RuleBroken([Reason("only_collecting_is_recorded", facts)])
    if event.stage is Stage.DONE:
        require(store, "event", event_id, "staff")
    elif event.stage is not Stage.UNDER_WAY:
        raise RuleBroken([Reason("event_not_under_way", facts)])
    if population not in {row.id for row in store.places.populations_of_event(event_id)}:
        raise BadInput("population", population, Reason("not_a_population_of_event", facts))
    store.collections.lock(population)
    return event


def _one(store: Store, event: Event, population: int) -> ToRecord:
    return next(one for one in to_record(store, event) if one.population.id == population)


def _limit(
    store: Store, event: Event, one: ToRecord, stand: StandCount, day: date
) -> Most | NothingToTake:
    at_least("fruits_per_plant", stand.fruits_per_plant, 0)
    at_least("seeds_per_fruit", stand.seeds_per_fruit, 0)
    known = _known(store, event, [one.population.id], day)
    return limit_on(day, stand, known.plant(one.population), _visits(one.others))


def _replace(store: Store, event: Event, one: ToRecord, values: dict[str, Any]) -> str:
    old = one.record
    if old is not None:
        store.collections.end(old.id, "replaced")
        kept = {k: v for k, v in vars(old).items() if k not in _NOT_KEPT}
        store.collections.add(**kept | values)
        return old.number
    free = store.collections.free_number(event.id)
    if free is None:
        team = store.events.row(event.id).region_name
        block = store.collections.take_block(team, event.id, store.unit.actor.person)
        free = block.team, block.first_no
    team, no = free
    store.collections.add(
        team=team, no=no, event=event.id, population=one.population.id, bagging="bulk", **values
    )
    return f"{team}-{no}"


_NOT_KEPT = ("id", "plant", "site_name", "by_name")


def _said(limit: Most | NothingToTake) -> dict[str, Any]:
    most = limit.fruits if isinstance(limit, Most) else 0
    return {
        "most_to_take": most,
        "rule_set": limit.rule_set,
        "rule_version": limit.version,
        "source": limit.source,
    }


def _stand(row: CollectionRow) -> StandCount:
    return StandCount(
        row.plants_at_dispersal,
        row.fruits,
        row.seeds,
        row.looked_at,
        row.good,
        row.seeds_per_gram,
        row.crop,
    )


def _visits(rows: tuple[CollectionRow, ...]) -> list[Visit]:
    return [Visit(r.on, r.standing, r.taken_fruits or 0, r.crop) for r in rows]


def _known(store: Store, event: Event, populations: list[int], day: date) -> _Known:
    first = date(max(day.year - YEARS_LOOKED_AT, 1), 1, 1)
    return _Known(
        day,
        tuple(store.places.permissions([event.site])),
        any(code == RELEASE for code, *_ in store.events.overrides(event.id)),
        store.collections.years(populations, first, date(day.year, 1, 1)),
    )


def _day(event: Event) -> date:
    """Today at the place, kept within the days of the event."""
    return min(max(clock.today(event.time_zone), event.first_day), event.last_day)


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    return {k: str(v) for k, v in values.items() if v is not None}
