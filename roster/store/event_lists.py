"""Lists of events: filtered, sorted, paged; and what stands on To decide."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, datetime
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, case, exists, func, or_, select

from roster.store.event_values import EventFilter, EventLine, EventSort, StandingRow
from roster.store.models.events import event, event_population, event_summary, lead_ask
from roster.store.models.field import head_count
from roster.store.models.land import site
from roster.store.models.messages import invitation
from roster.store.models.people import person, person_region, staff_grant
from roster.store.models.programme import region
from roster.store.rows import made
from roster.store.unit import Unit

_OVER = ("done", "called_off")
_STAGES = ("draft", "open", "ready", "under_way", "done", "called_off")


class EventLists:
    """Many events at a time, each list in one or two statements."""

    unit: Unit

    def lines(self, wanted: EventFilter, *, offset: int, limit: int) -> tuple[list[EventLine], int]:
        """One page of events and how many there are in all."""
        conditions, order = _conditions(wanted), _order(wanted)
        at_site = event.join(site, site.c.id == event.c.site)
        # the page is picked first, so that only its rows are joined with all that is shown
        sorted_by = at_site if wanted.search or wanted.sort is EventSort.SITE else event
        page = select(event.c.id).select_from(sorted_by).where(*conditions).order_by(*order)
        picked = event.c.id.in_(page.offset(offset).limit(limit).correlate(None))
        rows = self.unit.run(_lines().where(picked).order_by(*order))
        counted = at_site if wanted.search else event
        count = select(func.count()).select_from(counted).where(*conditions)
        total = int(self.unit.run(count).scalar_one())
        return [made(EventLine, row) for row in rows], total

    def lines_by_number(
        self, numbers: Collection[int], of_regions: Collection[int] | None
    ) -> list[EventLine]:
        """These events, of some regions (None: any), those under way first, then by day."""
        query = _lines().where(event.c.id.in_(numbers))
        if of_regions is not None:
            query = query.where(event.c.region.in_(of_regions))
        under_way = case((event.c.stage == "under_way", 0), else_=1)
        rows = self.unit.run(query.order_by(under_way, event.c.day, event.c.id))
        return [made(EventLine, row) for row in rows]

    def lines_of_populations(
        self, populations: Collection[int]
    ) -> dict[int, tuple[EventLine, ...]]:
        """The events of each of these populations that are not called off, by day."""
        there = event_population.c
        query = (
            _lines()
            .add_columns(there.population)
            .join(event_population, there.event == event.c.id)
            .where(there.population.in_(populations), event.c.stage != "called_off")
            .order_by(event.c.day, event.c.id)
        )
        found: dict[int, tuple[EventLine, ...]] = {}
        for row in self.unit.run(query):
            values = dict(row._mapping)
            of = values.pop("population")
            found[of] = (*found.get(of, ()), EventLine(**values))
        return found

    def days(self, of_regions: Collection[int] | None, first: date, last: date) -> list[date]:
        """The days that have an event that is not called off, for the season's ruler."""
        query = (
            select(event.c.day)
            .distinct()
            .where(event.c.day.between(first, last), event.c.stage != "called_off")
            .order_by(event.c.day)
        )
        if of_regions is not None:
            query = query.where(event.c.region.in_(of_regions))
        return list(self.unit.run(query).scalars())

    def duty_choices(self, day: date) -> list[tuple[int, str]]:
        """People with a staff role on a day, who may be duty person or stand-in."""
        g = staff_grant.c
        holds = select(g.person).where(
            g.ended_at.is_(None),
            g.from_on <= day,
            or_(g.until_on.is_(None), g.until_on > day),
        )
        rows = self.unit.run(
            select(person.c.id, person.c.name)
            .where(person.c.id.in_(holds), person.c.state == "active")
            .order_by(person.c.name_key, person.c.id)
        )
        return [(row.id, row.name) for row in rows]

    def answers(self, number: int) -> dict[int, str | None]:
        """Whoever was sent an invitation to an event, with their answer (None: none yet)."""
        i = invitation.c
        rows = self.unit.run(select(i.person, i.answer).where(i.event == number, i.n_sent > 0))
        return {row.person: row.answer for row in rows}

    def people_without_region(self) -> int:
        """How many active people no region cares for."""
        r = person_region.c
        cared = exists().where(r.person == person.c.id, r.ended_at.is_(None), r.until_on.is_(None))
        query = select(func.count()).select_from(person).where(person.c.state == "active", ~cared)
        return int(self.unit.run(query).scalar_one())

    def open_at(self, sites: Collection[int]) -> list[int]:
        """Events at these sites that are neither done nor called off."""
        rows = self.unit.run(
            select(event.c.id)
            .where(event.c.site.in_(sites), event.c.stage.not_in(_OVER))
            .order_by(event.c.id)
        )
        return list(rows.scalars())

    def open_between(self, start: datetime, end: datetime | None) -> list[int]:
        """Events neither done nor called off that overlap a time (end None: for ever)."""
        query = select(event.c.id).where(event.c.stage.not_in(_OVER), event.c.ends_at > start)
        if end is not None:
            query = query.where(event.c.starts_at < end)
        return list(self.unit.run(query.order_by(event.c.day, event.c.id)).scalars())

    def standings(
        self, of_regions: Collection[int] | None, last: date, *, limit: int
    ) -> list[StandingRow]:
        """Events that are not over and begin by a day, or have people out; soonest first."""
        out = _out().subquery()
        query = (
            select(
                event.c.id.label("event"),
                event.c.kind,
                event.c.title,
                event.c.stage,
                event.c.date_state,
                event.c.day,
                event.c.starts_at,
                event.c.ends_at,
                event.c.time_zone,
                event.c.capacity,
                event.c.taken,
                event.c.duty_person,
                event.c.stand_in,
                site.c.walk_out_minutes,
                site.c.minutes_to_signal,
                func.coalesce(event_summary.c.short, 0).label("short"),
                func.coalesce(event_summary.c.leads, 0).label("leads"),
                func.coalesce(event_summary.c.findings, "[]").label("findings"),
                _name_of("agreed").label("lead_name"),
                _name_of("asked").label("asked_name"),
                func.coalesce(out.c.n, 0).label("out"),
            )
            .join(site, site.c.id == event.c.site)
            .outerjoin(event_summary, event_summary.c.event == event.c.id)
            .outerjoin(out, out.c.event == event.c.id)
            .where(
                or_(
                    and_(event.c.stage.not_in(_OVER), event.c.day <= last),
                    out.c.n > 0,
                )
            )
            .order_by(event.c.day, event.c.id)
            .limit(limit)
        )
        if of_regions is not None:
            query = query.where(event.c.region.in_(of_regions))
        return [made(StandingRow, row) for row in self.unit.run(query)]


def _name_of(state: str) -> ColumnElement[Any]:
    """The name of the person who agreed to lead, or was asked first."""
    return (
        select(person.c.name)
        .join(lead_ask, lead_ask.c.person == person.c.id)
        .where(lead_ask.c.event == event.c.id, lead_ask.c.role == "lead", lead_ask.c.state == state)
        .order_by(lead_ask.c.id)
        .limit(1)
        .scalar_subquery()
    )


def _out() -> Select[Any]:
    """How many people of each event were last counted out."""
    last = select(func.max(head_count.c.id)).group_by(head_count.c.event, head_count.c.spot)
    return (
        select(head_count.c.event, func.count().label("n"))
        .where(head_count.c.id.in_(last), head_count.c.way == "out")
        .group_by(head_count.c.event)
    )


@cache
def _lines() -> Select[Any]:
    return (
        select(
            event.c.id,
            event.c.kind,
            event.c.title,
            site.c.name.label("site_name"),
            region.c.name.label("region_name"),
            event.c.stage,
            event.c.date_state,
            event.c.day,
            event.c.last_day,
            event.c.starts_at,
            event.c.ends_at,
            event.c.time_zone,
            event.c.capacity,
            event.c.taken,
            func.coalesce(event_summary.c.short, 0).label("short"),
            func.coalesce(event_summary.c.stops, 0).label("stops"),
            func.coalesce(event_summary.c.cautions, 0).label("cautions"),
            _name_of("agreed").label("lead_name"),
        )
        .join(site, site.c.id == event.c.site)
        .join(region, region.c.id == event.c.region)
        .outerjoin(event_summary, event_summary.c.event == event.c.id)
    )


def _tests(wanted: EventFilter) -> Iterator[ColumnElement[bool]]:
    e = event.c
    if wanted.regions is not None:
        yield e.region.in_(wanted.regions)
    if wanted.stages is not None:
        yield e.stage.in_(wanted.stages)
    if wanted.kind is not None:
        yield e.kind == wanted.kind
    if wanted.first is not None:
        yield e.last_day >= wanted.first
    if wanted.last is not None:
        yield e.day <= wanted.last


def _conditions(wanted: EventFilter) -> list[ColumnElement[bool]]:
    e = event.c
    found = list(_tests(wanted))
    if wanted.site is not None:
        found.append(e.site == wanted.site)
    if wanted.population is not None:
        there = event_population.c
        found.append(exists().where(there.event == e.id, there.population == wanted.population))
    if wanted.search:
        part = f"%{wanted.search}%"
        found.append(or_(e.title.ilike(part), site.c.name_key.like(part)))
    return found


def _order(wanted: EventFilter) -> list[Any]:
    stage = case({name: i for i, name in enumerate(_STAGES)}, value=event.c.stage)
    first: Any = {
        EventSort.DAY: event.c.day,
        EventSort.TITLE: func.lower(event.c.title),
        EventSort.SITE: site.c.name_key,
        EventSort.STAGE: stage,
    }[wanted.sort]
    turned = first.desc() if wanted.backwards else first
    number = event.c.id.desc() if wanted.backwards else event.c.id
    return [turned, number] if wanted.sort is EventSort.DAY else [turned, event.c.day, event.c.id]
