"""Lists of people: filtered, sorted, paged; and what each is doing around a day."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Date,
    FromClause,
    Select,
    and_,
    bindparam,
    func,
    or_,
    select,
)
from sqlalchemy.sql.selectable import Join

from roster.store.base import key_of
from roster.store.models.events import event, lead_ask, spot
from roster.store.models.people import away, busy, free_rule, held, person, person_region
from roster.store.models.programme import region
from roster.store.rows import made
from roster.store.unit import Unit

MANY = 10_000
"""Lists longer than this are counted as "more than"."""


class Show(StrEnum):
    """Which people a list shows, by their clearance in a role on a day."""

    EVERYONE = "everyone"
    CLEARED = "cleared"
    NOT_CLEARED = "not_cleared"
    LAPSING = "lapsing"


@dataclass(frozen=True)
class PeopleFilter:
    """What the list is about; `regions` None is every region, `name` a part of the name.

    `unassigned`: only people whom no region has.
    """

    role: str
    day: date
    show: Show = Show.EVERYONE
    name: str = ""
    regions: Collection[int] | None = None
    unassigned: bool = False
    sort: str = "name"
    descending: bool = False
    lapsing_days: int = 60


@dataclass(frozen=True)
class PersonLine:
    """One row of the list. `until_on`: half-open end of the clearance that holds that day."""

    id: int
    name: str
    region_name: str | None
    cleared: bool
    until_on: date | None


@dataclass(frozen=True)
class Around:
    """What a person does around a day: days out in its month, most agreed, away, event."""

    load: int = 0
    per_month: int | None = None
    is_away: bool = False
    event: int | None = None


class PeopleLists:
    """Many people at a time, each list in a constant number of statements."""

    unit: Unit

    def page(
        self, wanted: PeopleFilter, *, offset: int, limit: int
    ) -> tuple[list[PersonLine], int]:
        """One page of people, and how many there are in all (at most MANY + 1)."""
        conditions = _conditions(wanted)
        joined = _joined(wanted)
        query = (
            select(
                person.c.id,
                person.c.name,
                region.c.name.label("region_name"),
                held.c.root.is_not(None).label("cleared"),
                held.c.until_on,
            )
            .select_from(joined)
            .where(*conditions)
        )
        rows = self.unit.run(query.order_by(*_order(wanted)).offset(offset).limit(limit))
        lines = [made(PersonLine, row) for row in rows]
        if offset == 0 and len(lines) < limit:
            return lines, len(lines)
        some = select(person.c.id).select_from(_counted(wanted)).where(*conditions).limit(MANY + 1)
        total = self.unit.run(select(func.count()).select_from(some.subquery())).scalar_one()
        return lines, int(total)

    def count_all(self, regions: Collection[int] | None) -> int:
        """How many people are in the programme (in those regions), at most MANY + 1."""
        some: Select[*tuple[Any, ...]] = select(person.c.id).where(_present())
        if regions is not None:
            some = some.join(person_region, _OPEN_REGION).where(person_region.c.region.in_(regions))
        counted = select(func.count()).select_from(some.limit(MANY + 1).subquery())
        return int(self.unit.run(counted).scalar_one())

    def names(self, numbers: Collection[int]) -> dict[int, str]:
        """The names of these people."""
        rows = self.unit.run(
            select(person.c.id, person.c.name).where(person.c.id.in_(list(numbers)))
        )
        return {row.id: row.name for row in rows}

    def around(self, numbers: Collection[int], day: date) -> dict[int, Around]:
        """What these people do around a day, in four statements."""
        ids = list(numbers)
        first = day.replace(day=1)
        until = (first + timedelta(days=32)).replace(day=1)
        load = self._pairs(_LOAD, {"ids": ids, "first": first, "until": until})
        most = self._pairs(_PER_MONTH, {"ids": ids})
        gone_set = set(self.unit.run(_GONE, {"ids": ids, "day": day}).scalars())
        out = self._pairs(_OUT_ON, {"ids": ids, "day": day})
        return {i: Around(load.get(i, 0), most.get(i), i in gone_set, out.get(i)) for i in ids}

    def with_open_events(self, numbers: Collection[int], day: date) -> list[int]:
        """Which of these people are on an event, or lead one, on that day or later."""
        found: set[int] = set()
        ids = list(numbers)
        for start in range(0, len(ids), 1000):
            part = ids[start : start + 1000]
            for table, states in ((spot, ("placed", "offered", "waiting")),
                                  (lead_ask, ("asked", "agreed"))):  # fmt: skip
                rows = self.unit.run(
                    select(table.c.person)
                    .join(event, event.c.id == table.c.event)
                    .where(
                        table.c.person.in_(part),
                        table.c.state.in_(states),
                        event.c.last_day >= day,
                        event.c.stage.in_(("draft", "open", "ready", "under_way")),
                    )
                )
                found |= set(rows.scalars())
        return sorted(found)

    def _pairs(self, query: Any, values: dict[str, Any]) -> dict[int, int]:
        rows: list[Any] = list(self.unit.run(query, values))
        return {int(row[0]): int(row[1]) for row in rows}


_OPEN_REGION = and_(
    person_region.c.person == person.c.id,
    person_region.c.ended_at.is_(None),
    person_region.c.until_on.is_(None),
)


def _present() -> ColumnElement[bool]:
    return and_(
        person.c.state.in_(("active", "paused")),
        or_(person.c.root_id.is_(None), person.c.root_id == person.c.id),
    )


def _holds(wanted: PeopleFilter) -> ColumnElement[bool]:
    return and_(
        held.c.root == person.c.id,
        held.c.role == wanted.role,
        held.c.from_on <= wanted.day,
        or_(held.c.until_on.is_(None), held.c.until_on > wanted.day),
    )


def _joined(wanted: PeopleFilter) -> Join:
    inner = wanted.show in (Show.CLEARED, Show.LAPSING)
    return (
        person.join(held, _holds(wanted), isouter=not inner)
        .outerjoin(person_region, _OPEN_REGION)
        .outerjoin(region, region.c.id == person_region.c.region)
    )


def _counted(wanted: PeopleFilter) -> FromClause:
    """As much of the join as the conditions speak of: counting 10,000 people joined is slow."""
    found: FromClause = person
    if wanted.show is not Show.EVERYONE:
        found = found.join(held, _holds(wanted), isouter=wanted.show is Show.NOT_CLEARED)
    if wanted.regions is not None or wanted.unassigned:
        found = found.outerjoin(person_region, _OPEN_REGION)
    return found


def _conditions(wanted: PeopleFilter) -> list[ColumnElement[bool]]:
    found = [_present()]
    key = key_of(wanted.name)
    if key:
        escaped = key.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
        start = "%" if len(key) >= 3 else ""
        found.append(person.c.name_key.like(f"{start}{escaped}%", escape="\\"))
    if wanted.regions is not None:
        found.append(person_region.c.region.in_(wanted.regions))
    if wanted.unassigned:
        found.append(person_region.c.id.is_(None))
    if wanted.show is Show.NOT_CLEARED:
        found.append(held.c.root.is_(None))
    if wanted.show is Show.LAPSING:
        found.append(held.c.until_on <= wanted.day + timedelta(days=wanted.lapsing_days))
    return found


def _order(wanted: PeopleFilter) -> list[ColumnElement[Any]]:
    by: dict[str, list[ColumnElement[Any]]] = {
        "name": [person.c.name_key],
        "region": [func.coalesce(region.c.name, ""), person.c.name_key],
        "until": [func.coalesce(held.c.until_on, date(9999, 12, 31)), person.c.name_key],
    }
    first, *rest = by.get(wanted.sort, by["name"])
    return [first.desc() if wanted.descending else first, *rest, person.c.id]


_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_DAY = bindparam("day", type_=Date)
_LOAD = (
    select(busy.c.root, func.count())
    .where(
        busy.c.root.in_(_IDS),
        busy.c.day >= bindparam("first", type_=Date),
        busy.c.day < bindparam("until", type_=Date),
    )
    .group_by(busy.c.root)
)
_PER_MONTH = select(free_rule.c.person, free_rule.c.per_month).where(free_rule.c.person.in_(_IDS))
_GONE = select(away.c.person).where(
    away.c.person.in_(_IDS), away.c.from_on <= _DAY, away.c.until_on > _DAY
)
_OUT_ON = (
    select(spot.c.person, func.min(event.c.id))
    .join(event, event.c.id == spot.c.event)
    .where(
        spot.c.person.in_(_IDS),
        spot.c.state.in_(("placed", "came")),
        event.c.day <= _DAY,
        event.c.last_day >= _DAY,
        event.c.stage != "called_off",
    )
    .group_by(spot.c.person)
)
