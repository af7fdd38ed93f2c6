"""Use cases of places: programme, regions, zones, sites, permissions, closures, populations."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import date, timedelta

from roster.domain.errors import BadInput
from roster.domain.event_times import zone_named
from roster.domain.land import Permission
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.domain.zones import Zone
from roster.services import checks
from roster.services.access import require, require_coordinator, require_staff
from roster.services.closures import NewClosure, add_closure, check_events, lift_closure
from roster.services.plants import (
    NewCalendar,
    NewPopulation,
    NewTaxon,
    SiteCheck,
    add_calendar,
    add_population,
    add_taxon,
    record_site_check,
)
from roster.store.registry import Store
from roster.store.transaction import write

__all__ = [
    "NewCalendar",
    "NewClosure",
    "NewPermission",
    "NewPopulation",
    "NewSite",
    "NewTaxon",
    "SiteCheck",
    "add_calendar",
    "add_closure",
    "add_ecoregion",
    "add_permission",
    "add_population",
    "add_programme",
    "add_region",
    "add_season",
    "add_site",
    "add_taxon",
    "add_zone",
    "lift_closure",
    "record_site_check",
]


@dataclass(frozen=True)
class NewSite:
    """A site to add; `drive_minutes` as "Pullman 46.73,-117.18 35; Colfax 46.88,-117.36 20"."""

    name: str
    region: int
    lat: float
    lon: float
    time_zone: str
    state: str
    meeting: str
    elevation_ft: float = 0
    majority_age: int = 18
    access: str = ""
    unpaved: bool = False
    drive_minutes: str | None = None
    minutes_to_signal: int = 0
    walk_out_minutes: int = 60
    dispatch: str = ""
    hospital: str = ""
    hospital_minutes: int | None = None
    manager: str = ""
    effort: str = ""
    roads: str = ""
    hazards: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class NewPermission:
    """A permission to record; `last_day` inclusive; taxa to amounts (None: no amount named)."""

    site: int
    manager: str
    from_on: date
    last_day: date
    taxa: Mapping[int, str | None] = field(default_factory=dict)
    people: int | None = None
    vehicles: int | None = None
    notice_days: int = 0
    max_share: float = 0.2
    papers: tuple[int, ...] = ()
    listed_permit: str = ""
    report_due: date | None = None
    may_name: bool = False


def add_programme(actor: Actor, name: str, time_zone: str, language: str = "en",
                  *, demo: bool = False) -> int:  # fmt: skip
    """The programme itself, once; gives its number."""
    told = checks.text("name", name)
    zone_named(time_zone)

    def body(store: Store) -> int:
        require_coordinator(store)
        there = store.programme.the_one()
        if there is not None:
            raise BadInput("name", name, Reason("programme_is_there", {"name": there.name}))
        number = store.programme.add(told, time_zone, language, demo=demo)
        store.unit.note("added", "programme", number, after={"name": told})
        return number

    return write(body, actor=actor)


def add_season(actor: Actor, name: str, from_on: date, last_day: date) -> int:
    """A season from its first to its last day; gives its number."""
    told = checks.text("name", name)
    if last_day < from_on:
        raise BadInput("last_day", last_day, Reason("days_reversed"))

    def body(store: Store) -> int:
        require_coordinator(store)
        number = store.programme.add_season(told, from_on, last_day + timedelta(days=1))
        store.unit.note("added", "season", number, after={"name": told})
        return number

    return write(body, actor=actor)


def add_region(actor: Actor, code: str, name: str, time_zone: str, prefixes: str = "") -> int:
    """A region; gives its number."""
    values = {
        "code": checks.text("code", code, most=20),
        "name": checks.text("name", name),
        "time_zone": str(zone_named(time_zone)),
        "postcode_prefixes": checks.text("prefixes", prefixes, most=2000, needed=False),
    }

    def body(store: Store) -> int:
        require_coordinator(store)
        number = store.places.add_region(**values)
        store.unit.note("added", "region", number, region=number, after=values)
        return number

    return write(body, actor=actor)


def add_zone(actor: Actor, label: str, kind: str = "provisional", source: str = "") -> int:
    """A seed zone under its published label, never changed or worked out; gives its number."""
    zone = Zone(label, kind, checks.text("source", source, most=500))
    bands = (zone.temperature, zone.moisture)
    values = {
        "label": zone.label,
        "kind": checks.text("kind", kind, most=40),
        "source": zone.source,
        "temperature_band": str(bands[0]) if bands[0] else None,
        "moisture_band": str(bands[1]) if bands[1] else None,
    }

    def body(store: Store) -> int:
        require_coordinator(store)
        number = store.places.add_zone(**values)
        store.unit.note("added", "zone", number, after=values)
        return number

    return write(body, actor=actor)


def add_ecoregion(actor: Actor, number: str, name: str) -> int:
    """A Level III ecoregion under its published number; gives our row's number."""
    told = checks.text("number", number, most=10), checks.text("name", name)

    def body(store: Store) -> int:
        require_coordinator(store)
        row = store.places.add_ecoregion(*told)
        store.unit.note("added", "ecoregion", row, after={"number": told[0], "name": told[1]})
        return row

    return write(body, actor=actor)


def add_site(actor: Actor, new: NewSite, operation: str | None = None) -> int:
    """A site of a region; gives its number."""
    values = asdict(new)
    region, hazards = values.pop("region"), values.pop("hazards")
    values |= {
        "name": checks.text("name", new.name),
        "meeting": checks.text("meeting", new.meeting, most=500),
        "state": checks.text("state", new.state, most=40),
        "lat": checks.latitude(new.lat),
        "lon": checks.longitude(new.lon),
        "time_zone": str(zone_named(new.time_zone)),
        "majority_age": checks.whole("majority_age", new.majority_age, 18, 21),
        "minutes_to_signal": checks.whole("minutes_to_signal", new.minutes_to_signal, 0, 1440),
        "walk_out_minutes": checks.whole("walk_out_minutes", new.walk_out_minutes, 0, 1440),
        "unpaved": int(new.unpaved),
    }

    def body(store: Store) -> int:
        require_staff(store, region)
        there = store.places.site_named(values["name"])
        if there is not None:
            raise BadInput("name", new.name, Reason("site_is_there", {"name": there.name}))
        number = store.places.add_site(region, store.unit.at.date(), **values)
        for kind, note in hazards:
            store.places.add_hazard(number, kind, note)
        store.unit.note("added", "site", number, region=region, after={"name": values["name"]})
        return number

    return write(body, actor=actor, operation=operation)


def add_permission(actor: Actor, new: NewPermission, operation: str | None = None) -> int:
    """What the land manager allows at a site; gives its number."""
    until_on = new.last_day + timedelta(days=1)
    Permission(0, new.site, new.manager, new.from_on, until_on)  # refuses days in wrong order
    values = {
        "manager": checks.text("manager", new.manager),
        "from_on": new.from_on,
        "until_on": until_on,
        "max_share": checks.share("max_share", new.max_share),
        "people": new.people,
        "vehicles": new.vehicles,
        "notice_days": checks.whole("notice_days", new.notice_days, 0, 365),
        "listed_permit": checks.text("listed_permit", new.listed_permit, needed=False),
        "report_due": new.report_due,
        "may_name": int(new.may_name),
    }

    def body(store: Store) -> int:
        require(store, "site", new.site, "staff")
        region = store.places.site(new.site).region
        number = store.places.add_permission(
            new.taxa, new.papers, site=new.site, region=region, **values
        )
        store.unit.note("recorded", "permission", number, region=region, after=values)
        check_events(store, store.events.open_at([new.site]))
        return number

    return write(body, actor=actor, operation=operation)
