"""Use cases of plants: species, calendars, populations, site checks, ready windows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.land import Point
from roster.domain.people import Actor
from roster.domain.readiness import (
    PLANTS_LOOKED_AT,
    Observation,
    ReadyWindow,
    hopkins_shift_days,
)
from roster.domain.reasons import Reason
from roster.services import checks
from roster.services.access import require, require_coordinator
from roster.store.plant_values import CalendarRow, ObservationRow, PopulationRow
from roster.store.programme import SeasonRow
from roster.store.registry import Store
from roster.store.transaction import write

WINDOW_VERSION = 1
AUTUMN_FROM = 244
"""From 1 September a ripe day is an autumn event, for which Hopkins' law turns its sign."""


@dataclass(frozen=True)
class NewTaxon:
    """A species; `hold_days` from ripe until shed."""

    code: str
    name: str
    hold_days: int
    common_name: str = ""
    release_type: str | None = None
    rare: bool = False
    listed: bool = False
    look_alike_poisonous: str | None = None


@dataclass(frozen=True)
class NewCalendar:
    """When a species is ripe at a reference place; `ripe_doy` the day of the year, 1 to 366."""

    taxon: int
    ripe_doy: int
    sd_days: float
    lat: float
    lon: float
    elevation_ft: float
    source: str
    zone: int | None = None
    bloom_doy: int | None = None


@dataclass(frozen=True)
class NewPopulation:
    """A population; `position` exact, kept apart."""

    site: int
    taxon: int
    zone: int
    name: str = ""
    ecoregion: int | None = None
    size_class: str | None = None
    elevation_ft: float | None = None
    position: Point | None = None
    wild: bool = True
    culturally_used: str | None = None
    whom_to_ask: str | None = None


@dataclass(frozen=True)
class SiteCheck:
    """What somebody saw: shares 0 to 1 of the plants in fruit, or their own ripe day."""

    population: int
    on: date
    share_immature: float | None = None
    share_ripe: float | None = None
    share_shed: float | None = None
    mean_day: date | None = None
    sd_days: float | None = None
    plants_at_dispersal: int | None = None
    by: int | None = None


def add_taxon(actor: Actor, new: NewTaxon) -> int:
    """A species; gives its number."""
    values = {
        "code": checks.text("code", new.code, most=20),
        "name": checks.text("name", new.name),
        "common_name": checks.text("common_name", new.common_name, needed=False),
        "release_type": new.release_type,
        "hold_days": checks.whole("hold_days", new.hold_days, 1, 365),
        "rare": int(new.rare),
        "listed": int(new.listed),
        "look_alike_poisonous": new.look_alike_poisonous,
    }

    def body(store: Store) -> int:
        require_coordinator(store)
        number = store.places.add_taxon(**values)
        store.unit.note("added", "taxon", number, after=values)
        return number

    return write(body, actor=actor)


def add_calendar(actor: Actor, new: NewCalendar) -> int:
    """A species' calendar for a zone, or (zone None) for all; its windows are worked out anew."""
    values = {
        "taxon": new.taxon,
        "zone": new.zone,
        "bloom_doy": new.bloom_doy,
        "ripe_doy": checks.whole("ripe_doy", new.ripe_doy, 1, 366),
        "sd_days": new.sd_days,
        "lat": checks.latitude(new.lat),
        "lon": checks.longitude(new.lon),
        "elevation_ft": new.elevation_ft,
        "source": checks.text("source", new.source, most=500),
    }
    ReadyWindow(date(2000, 1, 1), new.sd_days, 1)  # refuses a spread that is not positive

    def body(store: Store) -> int:
        require_coordinator(store)
        number = store.places.add_calendar(**values)
        store.unit.note("added", "taxon_calendar", number, after=values)
        refresh_windows_in(store, store.places.populations_of_taxon(new.taxon))
        return number

    return write(body, actor=actor)


def add_population(actor: Actor, new: NewPopulation, operation: str | None = None) -> int:
    """A population at a site, with its first ready window; gives its number."""
    values = {
        "taxon": new.taxon,
        "zone": new.zone,
        "ecoregion": new.ecoregion,
        "name": checks.text("name", new.name, needed=False),
        "size_class": new.size_class,
        "elevation_ft": new.elevation_ft,
        "wild": int(new.wild),
        "culturally_used": new.culturally_used or None,
        "whom_to_ask": new.whom_to_ask or None,
    }
    if new.position is not None:
        checks.latitude(new.position[0])
        checks.longitude(new.position[1])

    def body(store: Store) -> int:
        require(store, "site", new.site, "staff")
        _must_exist(store, new)
        number = store.places.add_population(new.position, site=new.site, **values)
        region = store.places.site(new.site).region
        store.unit.note("added", "population", number, region=region, after=values)
        refresh_windows_in(store, [number])
        return number

    return write(body, actor=actor, operation=operation)


def _must_exist(store: Store, new: NewPopulation) -> None:
    """Foreign keys are looked up first: SQLite would not say which was wrong."""
    known: dict[str, set[int | None]] = {
        "taxon": {t.id for t in store.places.taxa()},
        "zone": {z.id for z in store.places.zones()},
        "ecoregion": {e.id for e in store.places.ecoregions()} | {None},
    }
    for field, numbers in known.items():
        value = getattr(new, field)
        if value not in numbers:
            raise BadInput(field, value, Reason("bad_choice", {"value": str(value)}))


def record_site_check(actor: Actor, seen: SiteCheck, operation: str | None = None) -> int:
    """What somebody saw of a population; its ready window is worked out anew.

    For staff of the region. Gives the check's number.
    """
    observation(seen)
    if seen.plants_at_dispersal is not None:
        checks.whole("plants_at_dispersal", seen.plants_at_dispersal, 0, 10_000_000)

    def body(store: Store) -> int:
        found = store.places.population(seen.population, None)
        require(store, "site", found.site, "staff")
        today = store.unit.at.date()
        if seen.on > today + timedelta(days=1):
            raise BadInput("on", seen.on, Reason("day_to_come", {"day": seen.on}))
        number = store.places.add_observation(
            population=seen.population,
            on=seen.on,
            share_immature=seen.share_immature,
            share_ripe=seen.share_ripe,
            share_shed=seen.share_shed,
            mean_day=seen.mean_day,
            sd_days=seen.sd_days,
            plants_at_dispersal=seen.plants_at_dispersal,
            by=seen.by or store.unit.actor.person,
            event=None,
        )
        after = {"on": seen.on, "ripe": seen.share_ripe, "immature": seen.share_immature}
        store.unit.note(
            "recorded_site_check", "population", seen.population, region=found.region, after=after
        )
        refresh_windows_in(store, [seen.population])
        return number

    return write(body, actor=actor, operation=operation)


def observation(seen: SiteCheck | ObservationRow) -> Observation:
    """A site check as the rules of readiness know it; BadInput if it says nothing."""
    return Observation(
        seen.on,
        seen.share_immature,
        seen.share_ripe,
        seen.share_shed,
        seen.mean_day,
        seen.sd_days,
        PLANTS_LOOKED_AT,
    )


def window_of(row: PopulationRow) -> ReadyWindow | None:
    """The kept ready window of a population, or None."""
    if row.mean_day is None or row.sd_days is None or row.hold_days is None:
        return None
    return ReadyWindow(row.mean_day, row.sd_days, row.hold_days, row.mean_part or 0.0)


def calendar_shift(calendar: CalendarRow, row: PopulationRow) -> float:
    """Days by which a population is later than its species' reference place."""
    season = "autumn" if calendar.ripe_doy >= AUTUMN_FROM else "spring"
    return hopkins_shift_days(
        row.lat - calendar.lat,
        row.lon - calendar.lon,
        row.elevation_ft - calendar.elevation_ft,
        season,
    )


def refresh_windows_in(store: Store, populations: list[int]) -> None:
    """Work out the ready windows of populations for the newest season, from calendar and checks.

    Each population reads its own calendar and checks; callers hand in those of one act.
    """
    seasons = store.programme.seasons()
    if not seasons:
        return
    for number in populations:
        row = store.places.population(number, None)
        window, basis = _window(store, row, seasons[0])
        if window is not None:
            store.places.put_window(
                number,
                seasons[0].id,
                mean_day=window.mean_day,
                mean_part=window.mean_part,
                sd_days=window.sd_days,
                hold_days=round(window.hold_days),
                basis=basis,
                version=WINDOW_VERSION,
            )


def _window(store: Store, row: PopulationRow, season: SeasonRow) -> tuple[ReadyWindow | None, str]:
    calendar = store.places.calendar(row.taxon, row.zone)
    seen = store.places.observations(row.id, season.from_on, season.until_on)
    if calendar is None:
        return None, ""
    ripe = date(season.from_on.year, 1, 1) + timedelta(days=calendar.ripe_doy - 1)
    window = ReadyWindow(ripe, calendar.sd_days, row.taxon_hold_days).shifted(
        calendar_shift(calendar, row)
    )
    for one in seen:
        window = window.updated(observation(one))
    return window, f"calendar, {len(seen)} site checks"


def void_site_check(actor: Actor, population: int, check: int, why: str) -> int:
    """Take a site check back (it was another plant, another day); it stays on record."""
    told = checks.text("why", why)

    def body(store: Store) -> int:
        row = store.places.population(population, None)
        require(store, "site", row.site, "staff")
        if not store.places.end_observation(population, check, told):
            raise RuleBroken([Reason("site_check_already_void", {"check": check})])
        store.unit.note("voided_site_check", "population", population, region=row.region)
        refresh_windows_in(store, [population])
        return check

    return write(body, actor=actor)
