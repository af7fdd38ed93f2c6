"""The list of people: by name, region and clearance; and the same as a spreadsheet."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.clearance import verdict
from roster.domain.errors import NotAllowed
from roster.domain.people import Actor, Role
from roster.domain.person_entry import day_asked
from roster.domain.reasons import Reason
from roster.services.access import require_staff
from roster.services.people import today_in
from roster.store.exchange_people import OnRecord
from roster.store.people_lists import MANY, Around, PeopleFilter, PersonLine, Show
from roster.store.registry import Store
from roster.store.transaction import read, write

__all__ = ["MANY", "PAGE_ROWS", "Asked", "Listed", "PeoplePage", "Show", "export", "people_page"]

PAGE_ROWS = 50
EXPORT_MOST = 10_000
UNASSIGNED = "none"


@dataclass(frozen=True)
class Asked:
    """What the list is asked for; `region` a number as text, "none" for unassigned people."""

    role: Role = Role.LEAD
    day: date | None = None
    show: Show = Show.EVERYONE
    name: str = ""
    region: str = ""
    sort: str = "name"
    descending: bool = False

    @property
    def is_everybody(self) -> bool:
        """Whether nothing is asked that leaves anybody out."""
        return self.show is Show.EVERYONE and not self.name.strip() and not self.region


@dataclass(frozen=True)
class Listed:
    """One row: who, until which last valid day or why not, what else is on around that day."""

    id: int
    name: str
    region_name: str | None
    cleared: bool
    last_day: date | None
    reasons: tuple[Reason, ...]
    around: Around


@dataclass(frozen=True)
class PeoplePage:
    """A page of the list, with how many there are of what."""

    rows: tuple[Listed, ...]
    total: int
    everybody: int
    cleared: int
    number: int
    day: date
    today: date
    regions: tuple[tuple[int, str], ...]

    @property
    def has_more(self) -> bool:
        """Whether another page follows."""
        return self.number * PAGE_ROWS < self.total


def people_page(actor: Actor, asked: Asked, number: int) -> PeoplePage:
    """One page of people in the actor's care."""

    def body(store: Store) -> PeoplePage:
        today = today_in(store)
        day = day_asked(asked.day, today)
        mine = _mine(actor)
        rows, total = store.people.page(
            _filter(actor, asked, day), offset=(number - 1) * PAGE_ROWS, limit=PAGE_ROWS
        )
        regions = tuple(
            (r.id, r.name) for r in store.places.regions() if mine is None or r.id in mine
        )
        everybody = total if asked.is_everybody else store.people.count_all(mine)
        return PeoplePage(
            _listed(store, rows, asked.role, day), total, everybody,
            store.held.count(asked.role.value, day, mine), number, day, today, regions,
        )  # fmt: skip

    return read(body)


def region_choices(actor: Actor) -> list[tuple[int, str]]:
    """The regions that the actor may hand people to."""
    mine = _mine(actor)
    regions = read(lambda store: store.places.regions())
    return [(r.id, r.name) for r in regions if mine is None or r.id in mine]


def _mine(actor: Actor) -> frozenset[int] | None:
    """The regions whose people the actor may see; None is everybody."""
    if not actor.is_staff:
        raise NotAllowed(f"{actor.name} does not coordinate people")
    return None if actor.is_coordinator else actor.regions


def _filter(actor: Actor, asked: Asked, day: date) -> PeopleFilter:
    mine = _mine(actor)
    regions: Collection[int] | None = mine
    unassigned = asked.region == UNASSIGNED
    if asked.region.isdigit() and len(asked.region) < 16:
        wanted = frozenset({int(asked.region)})
        regions = wanted if mine is None else wanted & mine
    return PeopleFilter(
        role=asked.role.value, day=day, show=asked.show, name=asked.name, regions=regions,
        unassigned=unassigned and mine is None, sort=asked.sort, descending=asked.descending,
    )  # fmt: skip


def _listed(store: Store, rows: list[PersonLine], role: Role, day: date) -> tuple[Listed, ...]:
    facts = store.facts.of_many([row.id for row in rows if not row.cleared])
    around = store.people.around([row.id for row in rows], day)
    return tuple(
        Listed(
            row.id, row.name, row.region_name, row.cleared,
            None if row.until_on is None else row.until_on - timedelta(days=1),
            verdict(facts[row.id], role, day).reasons if row.id in facts else (),
            around[row.id],
        )
        for row in rows
    )  # fmt: skip


@dataclass(frozen=True)
class Exported:
    """A row of the spreadsheet."""

    listed: Listed
    record: OnRecord


def export(actor: Actor, asked: Asked) -> list[Exported]:
    """Everybody on the list, at most 10,000, with how to reach them; it stands in the journal."""

    def body(store: Store) -> list[Exported]:
        require_staff(store)
        day = day_asked(asked.day, today_in(store))
        rows, _total = store.people.page(
            _filter(store.unit.actor, asked, day), offset=0, limit=EXPORT_MOST
        )
        records = store.exchange.on_record([row.id for row in rows])
        told = {"rows": len(rows), "role": asked.role.value, "day": day, "show": asked.show.value}
        store.unit.note("exported", "people", "list", after=told)
        return [
            Exported(one, records[one.id])
            for one in _listed(store, rows, asked.role, day)
            if one.id in records
        ]

    return write(body, actor=actor)
