"""Closures of an area, a site or a road: they stop every event they touch."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from roster.domain import geo
from roster.domain.errors import BadInput
from roster.domain.land import Point, Site
from roster.domain.reasons import Fact, Finding, Level, Reason


@dataclass(frozen=True)
class Closure:
    """An order that closes an area, a site or a road; until_at None means until lifted.

    Fields follow what a federal closure order must name: lands, roads, time (43 CFR 9212.2).
    `quiet` closures say only "closed" to volunteers.
    """

    id: int
    kind: str
    from_at: datetime
    until_at: datetime | None = None
    area: tuple[Point, ...] = ()
    site: int | None = None
    road: str = ""
    order_no: str = ""
    checked_on: date | None = None
    quiet: bool = False

    def __post_init__(self) -> None:
        if sum((bool(self.area), self.site is not None, bool(self.road))) != 1:
            raise BadInput("closure", self.order_no or self.kind, Reason("closure_needs_one_place"))
        if self.until_at is not None and self.until_at <= self.from_at:
            raise BadInput("until_at", self.until_at, Reason("closure_times_reversed"))

    def covers(self, site: Site, positions: Iterable[Point] = ()) -> bool:
        """Whether the site, its road, or any of the populations' positions lies in it."""
        if self.site is not None:
            return self.site == site.id
        if self.road:
            return self.road.casefold() in {r.casefold() for r in site.roads}
        return any(
            geo.in_polygon(lat, lon, self.area) for lat, lon in ((site.lat, site.lon), *positions)
        )

    def overlaps(self, start: datetime, end: datetime) -> bool:
        """Whether it is in force at any moment from start to end."""
        return self.from_at < end and (self.until_at is None or start < self.until_at)


@dataclass(frozen=True)
class Stay:
    """Where people will be and for how long; aware instants."""

    site: Site
    start: datetime
    end: datetime
    positions: tuple[Point, ...] = ()


def closures_touching(closures: Iterable[Closure], stay: Stay) -> list[Closure]:
    """The closures that this stay would break, earliest first."""
    touching = (
        c
        for c in closures
        if c.overlaps(stay.start, stay.end) and c.covers(stay.site, stay.positions)
    )
    return sorted(touching, key=lambda c: (c.from_at, c.id))


def closure_findings(closures: Iterable[Closure], stay: Stay) -> list[Finding]:
    """One stop for each closure that touches the stay, else one clear finding."""
    found = []
    for closure in closures_touching(closures, stay):
        what = "road" if closure.road else "site" if closure.site is not None else "area"
        code = "closed_until_lifted" if closure.until_at is None else "closed"
        facts: dict[str, Fact] = {
            "closure": closure.id,
            "kind": closure.kind,
            "what": what,
            "place": closure.road or stay.site.name,
            "order_no": closure.order_no,
            "until_at": closure.until_at,
        }
        found.append(Finding(Level.STOP, Reason(code, facts)))
    return found or [Finding(Level.CLEAR, Reason("no_closure", {"site": stay.site.name}))]
