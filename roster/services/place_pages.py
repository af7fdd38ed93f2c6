"""What the pages of places and plants show, each in one read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.closures import Closure
from roster.domain.people import Actor
from roster.domain.readiness import ReadyWindow
from roster.services import clock
from roster.services.access import require
from roster.services.event_lists import EventFilter, my_regions
from roster.services.plants import calendar_shift, window_of
from roster.store.collections import CollectionRow
from roster.store.event_values import EventLine
from roster.store.land_rows import PermissionLine
from roster.store.places import EcoregionRow, RegionRow, SiteLine, SiteRow, ZoneRow
from roster.store.plant_values import (
    CalendarRow,
    ObservationRow,
    PlantFilter,
    PopulationRow,
    TaxonRow,
)
from roster.store.programme import SeasonRow
from roster.store.registry import Store
from roster.store.transaction import read

PAGE_ROWS = 50
PLOT_DAYS = 28


@dataclass(frozen=True)
class SitesPage:
    """One page of sites."""

    rows: tuple[SiteLine, ...]
    total: int
    number: int


@dataclass(frozen=True)
class SitePage:
    """A site with its hazards, permissions, populations and events."""

    site: SiteRow
    hazards: tuple[tuple[str, str], ...]
    permissions: tuple[PermissionLine, ...]
    populations: tuple[PopulationRow, ...]
    events: tuple[EventLine, ...]
    closures: tuple[Closure, ...]
    today: date


@dataclass(frozen=True)
class PlantsPage:
    """One page of populations with their windows; `windows` by number of population."""

    rows: tuple[PopulationRow, ...]
    windows: dict[int, ReadyWindow]
    permitted: dict[int, tuple[date, date]]
    events: dict[int, tuple[EventLine, ...]]
    total: int
    number: int
    season: SeasonRow | None
    today: date


@dataclass(frozen=True)
class PopulationPage:
    """A population with its window, its site checks, its events and what the calendar says."""

    row: PopulationRow
    window: ReadyWindow | None
    first_day: date
    chances: tuple[float, ...]
    calendar: CalendarRow | None
    shift_days: float
    checks: tuple[ObservationRow, ...]
    permissions: tuple[PermissionLine, ...]
    events: tuple[EventLine, ...]
    collections: tuple[CollectionRow, ...]
    today: date


@dataclass(frozen=True)
class PlantChoices:
    """What the forms of populations and permissions offer."""

    taxa: tuple[TaxonRow, ...]
    zones: tuple[ZoneRow, ...]
    ecoregions: tuple[EcoregionRow, ...]
    regions: tuple[RegionRow, ...]
    papers: tuple[tuple[int, str, str], ...]


def sites_page(actor: Actor, number: int) -> SitesPage:
    """One page of the sites that the actor cares for."""

    def body(store: Store) -> SitesPage:
        offset = (number - 1) * PAGE_ROWS
        mine = my_regions(actor)
        rows, total = store.places.site_lines(mine, offset=offset, limit=PAGE_ROWS)
        return SitesPage(tuple(rows), total, number)

    return read(body)


def site_page(actor: Actor, site_id: int) -> SitePage:
    """A site, for staff of its region."""

    def body(store: Store) -> SitePage:
        store.unit.actor = actor
        require(store, "site", site_id, "staff")
        site = store.places.site(site_id)
        today = clock.today(site.time_zone)
        season = store.programme.season_of(today)
        events, _ = store.events.lines(EventFilter(None, site=site_id), offset=0, limit=PAGE_ROWS)
        return SitePage(
            site,
            tuple(store.places.hazards(site_id)),
            tuple(store.places.permission_lines(site_id)),
            tuple(store.places.populations_at(site_id, season.id if season else None)),
            tuple(events),
            _closures(store, site),
            today,
        )

    return read(body)


def _closures(store: Store, site: SiteRow) -> tuple[Closure, ...]:
    """What closes the site, a road to it or the area round it, now or later."""
    known = store.places.closures(store.unit.at, store.unit.at + timedelta(days=3650))
    return tuple(c for c in known if c.covers(site.site))


def plants_page(actor: Actor, search: str, number: int) -> PlantsPage:
    """One page of the populations that the actor cares for, by zone and species."""

    def body(store: Store) -> PlantsPage:
        programme = store.programme.the_one()
        today = clock.today(programme.time_zone if programme else "UTC")
        season = store.programme.season_of(today)
        wanted = PlantFilter(my_regions(actor), season.id if season else None, search)
        offset = (number - 1) * PAGE_ROWS
        rows, total = store.places.population_page(wanted, offset=offset, limit=PAGE_ROWS)
        events = store.events.lines_of_populations([r.id for r in rows])
        return PlantsPage(
            tuple(rows),
            {r.id: w for r in rows if (w := window_of(r)) is not None},
            _permitted(store, rows, today),
            events,
            total,
            number,
            season,
            today,
        )

    return read(body)


def _permitted(
    store: Store, rows: list[PopulationRow], today: date
) -> dict[int, tuple[date, date]]:
    """First and last day of the permission of each population that ends soonest after today."""
    found: dict[int, tuple[date, date]] = {}
    kept = sorted(store.places.permissions({r.site for r in rows}), key=lambda p: p.until_on)
    for row in rows:
        for one in kept:
            if one.site == row.site and row.taxon in one.taxa and one.until_on > today:
                found.setdefault(row.id, (one.from_on, one.last_day))
    return found


def population_page(actor: Actor, site_id: int, population_id: int) -> PopulationPage:
    """A population, for staff of its region; its address carries its site."""

    def body(store: Store) -> PopulationPage:
        store.unit.actor = actor
        require(store, "site", site_id, "staff")
        site = store.places.site(site_id)
        today = clock.today(site.time_zone)
        season = store.programme.season_of(today)
        row = store.places.population_at(site_id, population_id, season.id if season else None)
        window, calendar = window_of(row), store.places.calendar(row.taxon, row.zone)
        first = plot_start(window, today)
        of_year = season or SeasonRow(0, "", today - timedelta(days=365), today + timedelta(days=1))
        wanted = EventFilter(None, population=population_id)
        events, _ = store.events.lines(wanted, offset=0, limit=PAGE_ROWS)
        return PopulationPage(
            row,
            window,
            first,
            chances_from(window, first),
            calendar,
            0.0 if calendar is None else calendar_shift(calendar, row),
            tuple(store.places.observations(population_id, of_year.from_on, of_year.until_on)),
            tuple(store.places.permission_lines(site_id)),
            tuple(events),
            tuple(store.collections.of_population(population_id)),
            today,
        )

    return read(body)


def plot_start(window: ReadyWindow | None, around: date) -> date:
    """The Monday with which the chart begins, so that the best day stands in its middle."""
    middle = window.best_day() if window else around
    start = middle - timedelta(days=PLOT_DAYS // 2)
    return start - timedelta(days=start.weekday())


def chances_from(window: ReadyWindow | None, first: date) -> tuple[float, ...]:
    """The chance ready on each of four weeks' days from a first day; empty without a window."""
    if window is None:
        return ()
    return tuple(window.chance_on(first + timedelta(days=i)) for i in range(PLOT_DAYS))


def plant_choices(actor: Actor) -> PlantChoices:
    """Species, zones, ecoregions, regions and papers to choose from."""

    def body(store: Store) -> PlantChoices:
        mine = my_regions(actor)
        return PlantChoices(
            tuple(store.places.taxa()),
            tuple(store.places.zones()),
            tuple(store.places.ecoregions()),
            tuple(r for r in store.places.regions() if mine is None or r.id in mine),
            tuple(store.places.paper_choices()),
        )

    return read(body)
