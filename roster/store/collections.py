"""Collections and their numbers: blocks that never overlap, repeat or restart."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from roster.store.models.events import event
from roster.store.models.field import collection, number_block
from roster.store.models.land import population, site
from roster.store.models.people import person
from roster.store.models.programme import taxon
from roster.store.rows import made
from roster.store.unit import Unit

BLOCK = 10
"""Numbers that one event takes along (our own default)."""


@dataclass(frozen=True)
class Block:
    """Numbers of a team that one event may give out, both ends inclusive."""

    team: str
    first_no: int
    last_no: int


@dataclass(frozen=True)
class CollectionRow:
    """One collection record: what was counted, the limit then, what was taken.

    `fruits` are those of a plant, `seeds` those of a fruit; `most_to_take` and `taken_fruits` are
    fruits of the whole stand. `taken` is None until something, or nothing, was recorded.
    """

    id: int
    team: str
    no: int
    event: int
    population: int
    on: date
    plants_at_dispersal: int
    fruits: float
    seeds: float
    looked_at: int
    good: int
    seeds_per_gram: float | None
    crop: float | None
    most_to_take: float
    taken: float | None
    taken_unit: str | None
    taken_fruits: float | None
    nothing_taken: str | None
    bagging: str
    mothers: int | None
    voucher: str | None
    rule_set: str
    rule_version: str
    source: str
    plant: str
    site_name: str
    by_name: str | None

    @property
    def number(self) -> str:
        """Team code, hyphen, running number: "OR020-26"."""
        return f"{self.team}-{self.no}"

    @property
    def standing(self) -> float:
        """Fruits that stood ripe, over the whole stand."""
        return self.plants_at_dispersal * self.fruits

    @property
    def is_too_much(self) -> bool:
        """Whether more was taken than might be."""
        return (self.taken_fruits or 0) > self.most_to_take


class Collections:
    """Number blocks and collection records; a record is never changed, only replaced."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def take_block(self, team: str, event: int, lead: int | None, size: int = BLOCK) -> Block:
        """The next numbers of a team for an event; a unique key stands behind it."""
        b = number_block.c
        last = self.unit.run(select(func.max(b.last_no)).where(b.team == team)).scalar() or 0
        block = Block(team, int(last) + 1, int(last) + size)
        self.unit.run(
            number_block.insert().values(
                **vars(block), event=event, lead=lead, taken_at=self.unit.at
            )
        )
        return block

    def block_of(self, event: int) -> Block | None:
        """The numbers that an event took along, or None."""
        b = number_block.c
        row = self.unit.run(
            select(b.team, b.first_no, b.last_no).where(b.event == event).order_by(b.id).limit(1)
        ).one_or_none()
        return None if row is None else Block(row.team, row.first_no, row.last_no)

    def free_number(self, event: int) -> tuple[str, int] | None:
        """The next number of the event's blocks that no record ever had, or None."""
        b, c = number_block.c, collection.c
        blocks = self.unit.run(
            select(b.team, b.first_no, b.last_no).where(b.event == event).order_by(b.id)
        ).all()
        used = self.unit.run(select(c.team, c.no).where(c.event == event))
        gone = {(row.team, row.no) for row in used}
        for row in blocks:
            for no in range(row.first_no, row.last_no + 1):
                if (row.team, no) not in gone:
                    return row.team, no
        return None

    def lock(self, number: int) -> None:
        """Hold a population, so that two crews do not both take the last of its share."""
        self.unit.run(
            select(population.c.id).where(population.c.id == number).with_for_update()
        ).one()

    def add(self, **values: Any) -> int:
        """A record as it is known now; gives its row."""
        return self.unit.insert(collection, **values)

    def end(self, number: int, why: str) -> None:
        """The row is replaced by a better one."""
        self.unit.end(collection, [number], why)

    def of_event(self, number: int) -> list[CollectionRow]:
        """The records of an event, by number."""
        return self._rows(_records().where(collection.c.event == number))

    def of_population(self, number: int, limit: int = 50) -> list[CollectionRow]:
        """The newest records of a population, newest first."""
        query = _records().where(collection.c.population == number).order_by(None)
        return self._rows(query.order_by(collection.c.on.desc(), collection.c.id).limit(limit))

    def in_season(self, populations: Collection[int], season: int) -> list[CollectionRow]:
        """The records of these populations by all crews of a season."""
        c = collection.c
        query = _records().join(event, event.c.id == c.event)
        return self._rows(query.where(c.population.in_(populations), event.c.season == season))

    def years(self, populations: Collection[int], first: date, until: date) -> dict[int, int]:
        """By population, in how many calendar years something was taken; half-open days."""
        c = collection.c
        rows = self.unit.run(
            select(c.population, c.on)
            .distinct()
            .where(
                c.population.in_(populations),
                c.ended_at.is_(None),
                c.taken_fruits > 0,
                c.on >= first,
                c.on < until,
            )
        )
        found: dict[int, set[int]] = {}
        for row in rows:
            found.setdefault(row.population, set()).add(row.on.year)
        return {number: len(years) for number, years in found.items()}

    def _rows(self, query: Select[Any]) -> list[CollectionRow]:
        return [made(CollectionRow, row) for row in self.unit.run(query)]


def _records() -> Select[Any]:
    c = collection.c
    own = [
        column
        for column in c
        if column.name not in ("recorded_at", "recorded_seq", "recorded_by", "ended_at",
                               "ended_seq", "ended_why")
    ]  # fmt: skip
    plant = func.coalesce(func.nullif(taxon.c.common_name, ""), taxon.c.name).label("plant")
    return (
        select(*own, plant, site.c.name.label("site_name"), person.c.name.label("by_name"))
        .join(population, population.c.id == c.population)
        .join(site, site.c.id == population.c.site)
        .join(taxon, taxon.c.id == population.c.taxon)
        .outerjoin(person, person.c.id == c.recorded_by)
        .where(c.ended_at.is_(None))
        .order_by(c.team, c.no)
    )
