"""Species, populations, what was seen of them, and when their seed is ready."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date
from typing import Any

from sqlalchemy import Select, and_, func, or_, select

from roster.domain.errors import NotFound
from roster.domain.land import Point
from roster.store.models.events import event, event_population
from roster.store.models.land import (
    observation,
    population,
    population_position,
    ready_window,
    site,
    site_region,
)
from roster.store.models.people import person
from roster.store.models.programme import ecoregion, season, taxon, taxon_calendar, zone
from roster.store.plant_values import (
    CalendarRow,
    ObservationRow,
    PlantFilter,
    PopulationRow,
    TaxonRow,
)
from roster.store.rows import made, made_or_none
from roster.store.unit import Unit


class PlantRows:
    """Species, populations, observations, ready windows."""

    unit: Unit

    def add_taxon(self, **values: Any) -> int:
        """A new species; gives its number."""
        return self.unit.insert(taxon, name_key=values["name"], **values)

    def taxa(self) -> list[TaxonRow]:
        """All species by name."""
        columns = [c for c in taxon.c if c.name != "name_key"]
        rows = self.unit.run(select(*columns).order_by(taxon.c.name_key))
        return [made(TaxonRow, row) for row in rows]

    def add_calendar(self, **values: Any) -> int:
        """When a species is ripe at a reference place; gives its number."""
        return self.unit.insert(taxon_calendar, **values)

    def calendar(self, of_taxon: int, in_zone: int) -> CalendarRow | None:
        """The calendar of a species for a zone, else for any zone, else None."""
        c = taxon_calendar.c
        row = self.unit.run(
            select(c.ripe_doy, c.sd_days, c.lat, c.lon, c.elevation_ft, c.source)
            .where(c.taxon == of_taxon, or_(c.zone == in_zone, c.zone.is_(None)))
            .order_by(c.zone.is_(None), c.id)
            .limit(1)
        ).one_or_none()
        return made_or_none(CalendarRow, row)

    def add_population(self, position: Point | None, **values: Any) -> int:
        """A new population; its exact position stands apart. Gives its number."""
        number = self.unit.insert(population, **values)
        if position is not None:
            self.unit.run(
                population_position.insert().values(
                    population=number, lat=position[0], lon=position[1]
                )
            )
        return number

    def positions(self, numbers: Collection[int]) -> dict[int, Point]:
        """The exact positions of populations; asked for only where the rules allow it."""
        c = population_position.c
        rows = self.unit.run(select(c.population, c.lat, c.lon).where(c.population.in_(numbers)))
        return {row.population: (row.lat, row.lon) for row in rows}

    def population(self, number: int, season: int | None) -> PopulationRow:
        """One population with its ready window of a season; NotFound if there is none."""
        row = self.unit.run(_populations(season).where(population.c.id == number)).one_or_none()
        if row is None:
            raise NotFound("population", number)
        return made(PopulationRow, row)

    def population_at(self, at_site: int, number: int, season: int | None) -> PopulationRow:
        """The same, if it is at that site; NotFound otherwise."""
        found = self.population(number, season)
        if found.site != at_site:
            raise NotFound("population", number)
        return found

    def populations_of_event(self, number: int) -> list[PopulationRow]:
        """The populations of an event in their order, with the windows of its season."""
        season = self.unit.run(select(event.c.season).where(event.c.id == number)).scalar()
        query = (
            _populations(season)
            .join(event_population, event_population.c.population == population.c.id)
            .where(event_population.c.event == number)
            .order_by(event_population.c.ordinal)
        )
        return [made(PopulationRow, row) for row in self.unit.run(query)]

    def population_page(
        self, wanted: PlantFilter, *, offset: int, limit: int
    ) -> tuple[list[PopulationRow], int]:
        """One page of populations by zone and species, and how many there are in all."""
        query = _matching(_populations(wanted.season), wanted).order_by(
            zone.c.label, taxon.c.name_key, site.c.name_key, population.c.id
        )
        rows = self.unit.run(query.offset(offset).limit(limit))
        counted = (
            select(func.count(population.c.id))
            .join(site, site.c.id == population.c.site)
            .join(site_region, _open())
            .join(taxon, taxon.c.id == population.c.taxon)
        )
        total = int(self.unit.run(_matching(counted, wanted)).scalar_one())
        return [made(PopulationRow, row) for row in rows], total

    def populations_at(self, at_site: int, season: int | None) -> list[PopulationRow]:
        """The populations of one site."""
        query = (
            _populations(season)
            .where(population.c.site == at_site)
            .order_by(taxon.c.name_key, population.c.id)
        )
        return [made(PopulationRow, row) for row in self.unit.run(query)]

    def ripe_candidates(self, wanted: PlantFilter, first: date, last: date) -> list[PopulationRow]:
        """Populations whose mean ripe day lies between two days, at most 200, soonest first."""
        w = ready_window.c
        query = _matching(_populations(wanted.season), wanted).where(
            w.mean_day.between(first, last)
        )
        rows = self.unit.run(query.order_by(w.mean_day, population.c.id).limit(200))
        return [made(PopulationRow, row) for row in rows]

    def populations_with_event(self, numbers: Iterable[int], first: date, last: date) -> set[int]:
        """Which of these have an event that is not called off between two days."""
        rows = self.unit.run(
            select(event_population.c.population)
            .join(event, event.c.id == event_population.c.event)
            .where(
                event_population.c.population.in_(list(numbers)),
                event.c.stage != "called_off",
                event.c.last_day >= first,
                event.c.day <= last,
            )
        )
        return set(rows.scalars())

    def add_observation(self, **values: Any) -> int:
        """A site check; gives its number."""
        return self.unit.insert(observation, **values)

    def observations(self, of_population: int, first: date, until: date) -> list[ObservationRow]:
        """The site checks of a population from one day to another (not included), as they came."""
        o = observation.c
        query = _seen().where(o.population == of_population, o.on >= first, o.on < until)
        return [made(ObservationRow, row) for row in self.unit.run(query)]

    def observations_of(
        self, populations: Collection[int], of_season: int
    ) -> dict[int, list[ObservationRow]]:
        """The site checks of each of these populations in a season, as they came."""
        o = observation.c
        query = (
            _seen()
            .add_columns(o.population)
            .join(season, and_(o.on >= season.c.from_on, o.on < season.c.until_on))
            .where(o.population.in_(populations), season.c.id == of_season)
        )
        found: dict[int, list[ObservationRow]] = {}
        for row in self.unit.run(query):
            values = dict(row._mapping)
            found.setdefault(values.pop("population"), []).append(ObservationRow(**values))
        return found

    def end_observation(self, of_population: int, number: int, why: str) -> int:
        """End a site check of a population; 1 if it was still open, else 0."""
        o = observation.c
        mine = self.unit.run(
            select(o.id).where(o.id == number, o.population == of_population, o.ended_at.is_(None))
        ).scalars()
        return self.unit.end(observation, list(mine), why)

    def populations_of_taxon(self, number: int) -> list[int]:
        """The numbers of all populations of a species."""
        rows = self.unit.run(
            select(population.c.id).where(population.c.taxon == number).order_by(population.c.id)
        )
        return list(rows.scalars())

    def put_window(self, of_population: int, season: int, **values: Any) -> None:
        """The derived ready window of a population in a season, in place of the old one."""
        c = ready_window.c
        self.unit.run(
            ready_window.delete().where(c.population == of_population, c.season == season)
        )
        self.unit.run(
            ready_window.insert().values(population=of_population, season=season, **values)
        )


def _seen() -> Select[Any]:
    o = observation.c
    return (
        select(
            o.id,
            o.on,
            o.share_immature,
            o.share_ripe,
            o.share_shed,
            o.mean_day,
            o.sd_days,
            o.plants_at_dispersal,
            person.c.name.label("by_name"),
        )
        .outerjoin(person, person.c.id == o.by)
        .where(o.ended_at.is_(None))
        .order_by(o.on, o.id)
    )


def _open() -> Any:
    return and_(site_region.c.site == site.c.id, site_region.c.until_on.is_(None))


def _matching(query: Select[Any], wanted: PlantFilter) -> Select[Any]:
    if wanted.regions is not None:
        query = query.where(site_region.c.region.in_(wanted.regions))
    if wanted.search:
        part = f"%{wanted.search}%"
        query = query.where(
            or_(
                taxon.c.name_key.like(part),
                taxon.c.common_name.ilike(part),
                site.c.name.ilike(part),
            )
        )
    return query


_POPULATION: Sequence[Any] = (
    population.c.id,
    population.c.name,
    population.c.site,
    site.c.name.label("site_name"),
    site.c.lat,
    site.c.lon,
    func.coalesce(population.c.elevation_ft, site.c.elevation_ft).label("elevation_ft"),
    site.c.time_zone,
    site_region.c.region,
    population.c.taxon,
    taxon.c.code.label("taxon_code"),
    taxon.c.name.label("taxon_name"),
    taxon.c.common_name,
    taxon.c.listed,
    taxon.c.rare,
    taxon.c.hold_days.label("taxon_hold_days"),
    population.c.zone,
    zone.c.label.label("zone_label"),
    ecoregion.c.number.label("ecoregion_number"),
    ecoregion.c.name.label("ecoregion_name"),
    population.c.size_class,
    population.c.wild,
    population.c.culturally_used,
    population.c.whom_to_ask,
    ready_window.c.mean_day,
    ready_window.c.mean_part,
    ready_window.c.sd_days,
    ready_window.c.hold_days,
    ready_window.c.basis,
)


def _populations(season: int | None) -> Select[Any]:
    return (
        select(*_POPULATION)
        .join(site, site.c.id == population.c.site)
        .join(site_region, _open())
        .join(taxon, taxon.c.id == population.c.taxon)
        .join(zone, zone.c.id == population.c.zone)
        .outerjoin(ecoregion, ecoregion.c.id == population.c.ecoregion)
        .outerjoin(
            ready_window,
            and_(ready_window.c.population == population.c.id, ready_window.c.season == season),
        )
    )
