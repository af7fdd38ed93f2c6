"""A programme with a region, a site, its permission and a population, made through use cases."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from roster.domain.events import EventKind
from roster.domain.people import Actor, system
from roster.services import places, plants
from roster.services.event_making import NewEvent
from roster.services.places import NewPermission, NewSite
from roster.services.plants import NewCalendar, NewPopulation, NewTaxon

ACTOR = system("test")
PACIFIC = "America/Los_Angeles"
EVENT_DAY = date(2027, 6, 20)
SOURCE = "invented for tests"


@dataclass
class Land:
    """Numbers of what there is."""

    region: int
    zone: int
    taxon: int
    site: int
    permission: int
    population: int
    other_region: int
    actor: Actor = ACTOR


def land(**site: Any) -> Land:
    """One region with a site that holds one population, permitted from 1 June to 31 July 2027."""
    places.add_programme(ACTOR, "Lantern and Quill seed programme", PACIFIC)
    places.add_season(ACTOR, "2027", date(2027, 4, 1), date(2027, 10, 31))
    region = places.add_region(ACTOR, "PAL", "Palouse", PACIFIC)
    other = places.add_region(ACTOR, "CLW", "Clearwater", PACIFIC)
    zone = places.add_zone(ACTOR, "15 - 20 Deg. F. / 3 - 6", source=SOURCE)
    taxon = plants.add_taxon(
        ACTOR, NewTaxon("BASA3", "Balsamorhiza sagittata", 10, "Arrowleaf balsamroot")
    )
    plants.add_calendar(
        ACTOR, NewCalendar(taxon, 166, 6, 46.5, -117.0, 2500, SOURCE)
    )  # 15 June at the reference place
    number = add_site(region, **site)
    permission = permit(number, [taxon])
    population = plants.add_population(ACTOR, NewPopulation(number, taxon, zone))
    return Land(region, zone, taxon, number, permission, population, other)


def add_site(region: int, **changed: Any) -> int:
    """A site of a region: Marrow Butte, unless said otherwise."""
    values: dict[str, Any] = {
        "name": "Marrow Butte",
        "region": region,
        "lat": 46.9,
        "lon": -117.05,
        "elevation_ft": 2900,
        "time_zone": PACIFIC,
        "state": "Washington",
        "meeting": "Upper car park",
        "manager": "County parks",
    }
    return places.add_site(ACTOR, NewSite(**(values | changed)))


def permit(site: int, taxa: list[int], **changed: Any) -> int:
    """A permission for these species, 1 June to 31 July 2027."""
    values: dict[str, Any] = {
        "site": site,
        "manager": "County parks",
        "from_on": date(2027, 6, 1),
        "last_day": date(2027, 7, 31),
        "taxa": dict.fromkeys(taxa),
    }
    return places.add_permission(ACTOR, NewPermission(**(values | changed)))


def new_event(ground: Land, day: date = EVENT_DAY, **changed: Any) -> NewEvent:
    """A collecting event at the population, 07:00 to 12:30 local time, eight spots."""
    start = datetime.combine(day, datetime.min.time()) + timedelta(hours=7)
    values: dict[str, Any] = {
        "kind": EventKind.COLLECTING,
        "site": ground.site,
        "local_start": start,
        "local_end": start + timedelta(hours=5, minutes=30),
        "capacity": 8,
        "populations": (ground.population,),
    }
    return NewEvent(**(values | changed))
