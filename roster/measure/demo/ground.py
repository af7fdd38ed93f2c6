"""Lays the ground of the demonstration through the use cases: programme, places, species."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from roster.domain.people import Actor
from roster.measure.demo import land
from roster.services import places

SEASON = (date(2027, 4, 1), date(2027, 10, 31))
PERMITTED = (date(2027, 5, 1), date(2027, 9, 30))
RIM_PERMITTED_TO = date(2027, 6, 30)
"""The permission at the canyon rim ends before its seed is ripe."""


@dataclass
class Ground:
    """Numbers of what was laid, by key: populations by site key and species code."""

    regions: dict[str, int] = field(default_factory=dict)
    zones: dict[str, int] = field(default_factory=dict)
    ecoregions: dict[str, int] = field(default_factory=dict)
    species: dict[str, int] = field(default_factory=dict)
    sites: dict[str, int] = field(default_factory=dict)
    populations: dict[tuple[str, str], int] = field(default_factory=dict)


def lay_programme(actor: Actor) -> Ground:
    """The programme, its season, regions, zones and species."""
    ground = Ground()
    places.add_programme(actor, land.PROGRAMME, land.HOME_ZONE, demo=True)
    places.add_season(actor, "2027", *SEASON)
    for code, name, zone, prefixes in land.REGIONS:
        ground.regions[code] = places.add_region(actor, code, name, zone, prefixes)
    for label in land.ZONES:
        ground.zones[label] = places.add_zone(actor, label, "provisional", land.ZONE_SOURCE)
    for number, name in land.ECOREGIONS:
        ground.ecoregions[number] = places.add_ecoregion(actor, number, name)
    for plant in land.SPECIES:
        _add_species(actor, ground, plant)
    return ground


def _add_species(actor: Actor, ground: Ground, plant: land.Species) -> None:
    taxon = places.add_taxon(
        actor,
        places.NewTaxon(
            plant.code,
            plant.name,
            plant.hold_days,
            common_name=plant.common_name,
            release_type=plant.release_type,
            look_alike_poisonous=plant.look_alike,
        ),
    )
    lat, lon, height = land.REFERENCE
    calendar = places.NewCalendar(
        taxon, plant.ripe_doy, plant.sd_days, lat, lon, height, plant.source
    )
    places.add_calendar(actor, calendar)
    ground.species[plant.code] = taxon


def lay_sites(actor: Actor, ground: Ground, agreement: int) -> None:
    """Sites with their permissions and populations; the north asks for its agreement."""
    for place in land.SITES:
        site = places.add_site(actor, _new_site(place, ground))
        ground.sites[place.key] = site
        for code, name, label, ecoregion in place.populations:
            new = places.NewPopulation(
                site,
                ground.species[code],
                ground.zones[label],
                name=name,
                ecoregion=ground.ecoregions[ecoregion],
                elevation_ft=place.elevation_ft,
                position=(round(place.lat + 0.004, 4), round(place.lon - 0.003, 4)),
            )
            ground.populations[place.key, code] = places.add_population(actor, new)
        places.add_permission(actor, _new_permission(place, site, ground, agreement))


def _new_site(place: land.Place, ground: Ground) -> places.NewSite:
    return places.NewSite(
        name=place.name,
        region=ground.regions[place.region],
        lat=place.lat,
        lon=place.lon,
        time_zone=place.time_zone,
        state=place.state,
        meeting=place.meeting,
        elevation_ft=place.elevation_ft,
        access=place.access,
        minutes_to_signal=place.minutes_to_signal,
        dispatch="911",
        hospital=place.hospital,
        hospital_minutes=place.hospital_minutes,
        manager=place.manager,
        effort=place.effort,
        hazards=place.hazards,
    )


def _new_permission(
    place: land.Place, site: int, ground: Ground, agreement: int
) -> places.NewPermission:
    first, last = PERMITTED
    return places.NewPermission(
        site=site,
        manager=place.manager,
        from_on=first,
        last_day=RIM_PERMITTED_TO if place.key == "tinder" else last,
        taxa={ground.species[code]: None for code, *_rest in place.populations},
        people=place.people,
        vehicles=place.vehicles,
        notice_days=2,
        papers=(agreement,) if place.manager.startswith("Northern") else (),
    )
