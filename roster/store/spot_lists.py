"""Spots for pages: a person's days, and the events that still take people."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, exists, func, or_, select

from roster.store.models.events import event, lead_ask, spot
from roster.store.models.land import site
from roster.store.models.people import guardian, person
from roster.store.rows import made
from roster.store.spot_values import AskedRow, MyDayRow, OpenRow
from roster.store.unit import Unit


@dataclass(frozen=True)
class OpenFilter:
    """Which events Where help is needed shows; `box` is least and most latitude and longitude."""

    first: date
    last: date
    kind: str | None = None
    box: tuple[float, float, float, float] | None = None
    but: Collection[int] = ()


class SpotLists:
    """Many spots or events at a time, each list in one or two statements."""

    unit: Unit

    def days_of(self, people: Collection[int], first: date, last: date) -> list[MyDayRow]:
        """The events between two days on which these people (one person, merged) have a spot."""
        e, s, p = event.c, spot.c, site.c
        rows = self.unit.run(
            select(
                s.id.label("spot"), s.person, e.id.label("event"), e.kind, e.title, e.site,
                p.name.label("site_name"), e.stage, e.date_state, e.day, e.last_day, e.starts_at,
                e.ends_at, e.time_zone, e.meeting, s.role, s.state, s.line_no, s.offered_until,
                p.lat, p.lon, p.unpaved, e.called_off_why, s.asked_n,
            )
            .join(event, e.id == s.event)
            .join(site, p.id == e.site)
            .where(s.person.in_(people), e.last_day >= first, e.day <= last)
            .order_by(e.day, e.starts_at, e.id)
        )  # fmt: skip
        return [made(MyDayRow, row) for row in rows]

    def asked_to_lead(self, people: Collection[int]) -> list[AskedRow]:
        """Open questions to these people to lead or to collect data, soonest event first."""
        a, e = lead_ask.c, event.c
        rows = self.unit.run(
            select(
                a.event, a.role, e.title, site.c.name.label("site_name"), e.date_state, e.day,
                e.last_day, e.starts_at, e.ends_at, e.time_zone, a.until,
            )
            .join(event, e.id == a.event)
            .join(site, site.c.id == e.site)
            .where(
                a.person.in_(people),
                a.state == "asked",
                or_(a.until.is_(None), a.until > self.unit.at),
                e.stage.in_(("draft", "open", "ready")),
            )
            .order_by(e.day, a.event)
        )  # fmt: skip
        return [made(AskedRow, row) for row in rows]

    def wards_of(self, people: Collection[int], day: date) -> dict[int, str]:
        """Those for whom these people are guardians on a day: number and name."""
        g = guardian.c
        rows = self.unit.run(
            select(g.person, person.c.name)
            .join(person, person.c.id == g.person)
            .where(
                g.guardian_person.in_(people),
                g.from_on <= day,
                or_(g.until_on.is_(None), g.until_on > day),
            )
            .order_by(g.person)
        )
        return {row.person: row.name for row in rows}

    def same_person(self, who: int) -> list[int]:
        """Every number under which this person is known, the root first."""
        root = func.coalesce(person.c.root_id, person.c.id)
        mine = select(root).where(person.c.id == who).scalar_subquery()
        rows = self.unit.run(select(person.c.id).where(root == mine).order_by(person.c.id))
        return list(rows.scalars())

    def open_events(
        self, wanted: OpenFilter, *, offset: int, limit: int
    ) -> tuple[list[OpenRow], int]:
        """One page of events that take sign-ups, soonest first, and how many there are."""
        where = _open(wanted)
        rows = self.unit.run(
            _open_rows()
            .where(*where)
            .order_by(event.c.day, event.c.starts_at, event.c.id)
            .offset(offset)
            .limit(limit)
        )
        count = select(func.count()).select_from(event.join(site, site.c.id == event.c.site))
        total = int(self.unit.run(count.where(*where)).scalar_one())
        return [made(OpenRow, row) for row in rows], total

    def open_event(self, number: int) -> OpenRow | None:
        """One event as that list shows it, whatever its stage."""
        row = self.unit.run(_open_rows().where(event.c.id == number)).one_or_none()
        return None if row is None else made(OpenRow, row)


def _open(wanted: OpenFilter) -> list[Any]:
    e = event.c
    found: list[Any] = [
        e.stage.in_(("open", "ready")), e.last_day >= wanted.first, e.day <= wanted.last
    ]  # fmt: skip
    if wanted.kind:
        found.append(e.kind == wanted.kind)
    if wanted.but:
        found.append(e.id.not_in(wanted.but))
    if wanted.box:
        south, north, west, east = wanted.box
        found += [site.c.lat.between(south, north), site.c.lon.between(west, east)]
    return found


def _seated(role: str) -> Any:
    live = ("offered", "placed", "came")
    there = exists().where(spot.c.event == event.c.id, spot.c.role == role, spot.c.state.in_(live))
    return there.correlate(event)


def _open_rows() -> Select[Any]:
    e, p = event.c, site.c
    waiting = (
        select(func.count())
        .where(spot.c.event == e.id, spot.c.state == "waiting")
        .correlate(event)
        .scalar_subquery()
    )
    return select(
        e.id.label("event"), e.kind, e.title, e.site, p.name.label("site_name"), e.region,
        e.stage, e.date_state, e.day, e.last_day, e.starts_at, e.ends_at, e.time_zone, e.capacity,
        e.taken, waiting.label("waiting"), p.lat, p.lon, p.unpaved, p.minutes_to_signal,
        p.majority_age, p.effort, _seated("lead").label("has_lead"),
        _seated("data_collector").label("has_collector"),
    ).join(site, p.id == e.site)  # fmt: skip
