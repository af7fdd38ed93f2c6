"""Regions, zones, ecoregions and sites; plants and land rules stand in the files beside."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, func, select

from roster.domain.errors import NotFound
from roster.domain.land import Site
from roster.domain.zones import Zone
from roster.store.land_rows import LandRows
from roster.store.models.land import hazard, permission, population, site, site_region
from roster.store.models.programme import ecoregion, region, zone
from roster.store.plant_rows import PlantRows
from roster.store.rows import made, made_or_none


@dataclass(frozen=True)
class RegionRow:
    """An area with a coordinator."""

    id: int
    code: str
    name: str
    time_zone: str


@dataclass(frozen=True)
class ZoneRow:
    """A seed zone under its published label."""

    id: int
    label: str
    kind: str
    source: str

    @property
    def zone(self) -> Zone:
        """The zone as the rules know it."""
        return Zone(self.label, self.kind, self.source, self.id)


@dataclass(frozen=True)
class EcoregionRow:
    """A Level III ecoregion."""

    id: int
    number: str
    name: str


@dataclass(frozen=True)
class SiteRow:
    """A site as its page shows it; `region` the one that cares for it now."""

    id: int
    name: str
    lat: float
    lon: float
    elevation_ft: float
    time_zone: str
    state: str
    majority_age: int
    meeting: str
    access: str
    unpaved: int
    drive_minutes: str | None
    minutes_to_signal: int
    walk_out_minutes: int
    dispatch: str
    hospital: str
    hospital_minutes: int | None
    manager: str
    effort: str
    roads: str
    region: int
    region_name: str

    @property
    def site(self) -> Site:
        """The site as the rules know it."""
        return Site(
            self.id,
            self.name,
            self.lat,
            self.lon,
            self.time_zone,
            round(self.elevation_ft),
            None,
            self.minutes_to_signal,
            self.hospital_minutes,
            frozenset(r.strip() for r in self.roads.split(";") if r.strip()),
        )


@dataclass(frozen=True)
class SiteLine:
    """A site as the list shows it."""

    id: int
    name: str
    region_name: str
    manager: str
    populations: int
    last_permission: date | None


class Places(LandRows, PlantRows):
    """Regions, zones, sites; and what `LandRows` and `PlantRows` add."""

    def add_region(self, **values: Any) -> int:
        """A new region; gives its number."""
        return self.unit.insert(region, **values)

    def regions(self) -> list[RegionRow]:
        """All regions by name."""
        c = region.c
        rows = self.unit.run(select(c.id, c.code, c.name, c.time_zone).order_by(c.name, c.id))
        return [made(RegionRow, row) for row in rows]

    def region(self, number: int) -> RegionRow:
        """One region; NotFound if there is none."""
        c = region.c
        row = self.unit.run(
            select(c.id, c.code, c.name, c.time_zone).where(c.id == number)
        ).one_or_none()
        if row is None:
            raise NotFound("region", number)
        return made(RegionRow, row)

    def add_zone(self, **values: Any) -> int:
        """A new seed zone under its published label; gives its number."""
        return self.unit.insert(zone, **values)

    def zones(self) -> list[ZoneRow]:
        """All seed zones by label."""
        c = zone.c
        rows = self.unit.run(select(c.id, c.label, c.kind, c.source).order_by(c.label))
        return [made(ZoneRow, row) for row in rows]

    def add_ecoregion(self, number: str, name: str) -> int:
        """A new Level III ecoregion; gives its number in our table."""
        return self.unit.insert(ecoregion, number=number, name=name)

    def ecoregions(self) -> list[EcoregionRow]:
        """All ecoregions by name."""
        c = ecoregion.c
        rows = self.unit.run(select(c.id, c.number, c.name).order_by(c.name))
        return [made(EcoregionRow, row) for row in rows]

    def add_site(self, in_region: int, from_on: date, **values: Any) -> int:
        """A new site, cared for by a region from a day on; gives its number."""
        number = self.unit.insert(site, name_key=values["name"], **values)
        self.unit.run(site_region.insert().values(site=number, region=in_region, from_on=from_on))
        return number

    def add_hazard(self, at_site: int, kind: str, note: str) -> int:
        """A known hazard of a site."""
        return self.unit.insert(hazard, site=at_site, kind=kind, note=note)

    def hazards(self, at_site: int) -> list[tuple[str, str]]:
        """Kind and note of each hazard of a site."""
        rows = self.unit.run(
            select(hazard.c.kind, hazard.c.note)
            .where(hazard.c.site == at_site)
            .order_by(hazard.c.kind)
        )
        return [(row.kind, row.note) for row in rows]

    def site_or_none(self, number: int) -> SiteRow | None:
        """One site with its region, or None."""
        row = self.unit.run(_sites().where(site.c.id == number)).one_or_none()
        return made_or_none(SiteRow, row)

    def site(self, number: int) -> SiteRow:
        """One site with its region; NotFound if there is none."""
        found = self.site_or_none(number)
        if found is None:
            raise NotFound("site", number)
        return found

    def site_named(self, name: str) -> SiteRow | None:
        """The site of that name, whatever its capitals, or None."""
        row = self.unit.run(_sites().where(site.c.name_key == name).limit(1)).one_or_none()
        return made_or_none(SiteRow, row)

    def site_choices(self, of_regions: Collection[int] | None) -> list[tuple[int, str]]:
        """Number and name of each site of these regions (None: all), by name."""
        query = (
            select(site.c.id, site.c.name)
            .join(site_region, _open())
            .order_by(site.c.name_key, site.c.id)
        )
        return [(row.id, row.name) for row in self.unit.run(_within(query, of_regions))]

    def site_lines(
        self, of_regions: Collection[int] | None, *, offset: int, limit: int
    ) -> tuple[list[SiteLine], int]:
        """One page of sites by name, and how many there are in all."""
        populations = (
            select(population.c.site, func.count().label("n"))
            .group_by(population.c.site)
            .subquery()
        )
        permitted = (
            select(permission.c.site, func.max(permission.c.until_on).label("until_on"))
            .group_by(permission.c.site)
            .subquery()
        )
        query = (
            select(
                site.c.id,
                site.c.name,
                region.c.name.label("region_name"),
                site.c.manager,
                func.coalesce(populations.c.n, 0).label("populations"),
                permitted.c.until_on.label("last_permission"),
            )
            .join(site_region, _open())
            .join(region, region.c.id == site_region.c.region)
            .outerjoin(populations, populations.c.site == site.c.id)
            .outerjoin(permitted, permitted.c.site == site.c.id)
            .order_by(site.c.name_key, site.c.id)
        )
        rows = self.unit.run(_within(query, of_regions).offset(offset).limit(limit))
        count = select(func.count()).select_from(site.join(site_region, _open()))
        total = int(self.unit.run(_within(count, of_regions)).scalar_one())
        return [made(SiteLine, row) for row in rows], total


def _open() -> Any:
    return (site_region.c.site == site.c.id) & site_region.c.until_on.is_(None)


def _within(query: Select[Any], of_regions: Collection[int] | None) -> Select[Any]:
    return query if of_regions is None else query.where(site_region.c.region.in_(of_regions))


def _sites() -> Select[Any]:
    columns = [c for c in site.c if c.name != "name_key"]
    return (
        select(*columns, site_region.c.region, region.c.name.label("region_name"))
        .join(site_region, _open())
        .join(region, region.c.id == site_region.c.region)
    )
