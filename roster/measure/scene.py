"""One open event and many cleared people, made by the use cases themselves."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from roster.domain.events import EventKind
from roster.domain.import_columns import ImportKind
from roster.domain.people import Role, system
from roster.domain.training import StepKind
from roster.services import clock, demo, events, exchange, places, plants, training
from roster.services.event_making import NewEvent
from roster.services.places import NewPermission, NewSite
from roster.services.plants import NewPopulation, NewTaxon

ACTOR = system("cli")
ZONE = "America/Los_Angeles"


@dataclass(frozen=True)
class Scene:
    """Numbers of the event and of the people who may sign up."""

    event: int
    people: tuple[int, ...]
    capacity: int
    site: int
    population: int
    day: date


def make(count: int, capacity: int) -> Scene:
    """An event in 30 days with `capacity` spots, and `count` people cleared for it.

    Two more spots are kept for a lead and a data collector, whom the event does not have yet.
    """
    today = clock.today(ZONE)
    places.add_programme(ACTOR, "Programme of a drill", ZONE)
    first, last = today - timedelta(days=200), today + timedelta(days=400)
    places.add_season(ACTOR, "Season of a drill", first, last)
    region = places.add_region(ACTOR, "N", "North", ZONE)
    _track()
    day = today + timedelta(days=30)
    site, population = _ground(region, day)
    event = an_event(site, population, day, capacity)
    numbers = _cleared(count, today - timedelta(days=9))
    return Scene(event, numbers, capacity, site, population, day)


def _track() -> None:
    rules, start = training.StepRules(self_counts=True), date(2020, 1, 1)
    step = training.NewStep("ethics", "Seed ethics", StepKind.LESSON, rules, from_on=start)
    training.define_step(ACTOR, step)
    track = training.NewTrack(
        "crew", "Crew work", Role.CREW_MEMBER, 16, (step.code,), from_on=start
    )
    training.define_track(ACTOR, track)


def _cleared(count: int, done_on: date) -> tuple[int, ...]:
    """So many people with the one step finished, by two spreadsheets."""
    addresses = [f"p{i:05}@example.org" for i in range(count)]
    people = ["Name,E-mail,Born,Latitude,Longitude,Region"]
    people += [f"Person {a[1:6]},{a},1990-01-01,46.7,-117.1,N" for a in addresses]
    steps = ["E-mail,Step,Done on", *(f"{a},ethics,{done_on}" for a in addresses)]
    batch = exchange.take_in(ACTOR, ImportKind.PEOPLE, "people.csv", _sheet(people))
    exchange.take_in(ACTOR, ImportKind.COMPLETIONS, "steps.csv", _sheet(steps))
    return tuple(demo.numbers_of_batch(batch))


def _sheet(lines: list[str]) -> bytes:
    return "\n".join(lines).encode()


def _ground(region: int, day: date) -> tuple[int, int]:
    taxon = plants.add_taxon(ACTOR, NewTaxon("BASA3", "Balsamorhiza sagittata", 10))
    zone = places.add_zone(ACTOR, "15 - 20 Deg. F. / 3 - 6", source="a drill")
    site = NewSite("Butte of a drill", region, 46.9, -117.05, ZONE, "WA", "Car park")
    number = places.add_site(ACTOR, site)
    population = plants.add_population(ACTOR, NewPopulation(number, taxon, zone))
    months = timedelta(days=60)
    allowed = NewPermission(number, "County parks", day - months, day + months, {taxon: None})
    places.add_permission(ACTOR, allowed)
    return number, population


def an_event(site: int, population: int, day: date, capacity: int) -> int:
    """One open event with `capacity` spots beside those kept for lead and data collector."""
    start, end = datetime.combine(day, time(7)), datetime.combine(day, time(12))
    new = NewEvent(EventKind.COLLECTING, site, start, end, capacity + 2, (population,))
    event = events.create_event(ACTOR, new)
    events.open_event(ACTOR, event)
    return event
