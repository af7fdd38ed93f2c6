"""Lists of events for pages, and what a form about an event offers to choose from."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date

from roster.domain.people import Actor
from roster.services import clock
from roster.services.access import require
from roster.store.event_values import EventFilter, EventLine, EventSort
from roster.store.places import RegionRow, SiteRow
from roster.store.plant_values import PopulationRow
from roster.store.registry import Store
from roster.store.transaction import read

__all__ = ["EventFilter", "EventSort", "event_choices", "events_between", "events_page"]
__all__ += ["site_choices"]
PAGE_ROWS = 50
MOST_SHOWN = 500
"""So many events a month or week shows; whoever has more asks for less by the filter."""


@dataclass(frozen=True)
class EventsPage:
    """One page of a list, how many there are in all, and the regions to choose from."""

    rows: tuple[EventLine, ...]
    total: int
    number: int
    regions: tuple[RegionRow, ...]

    @property
    def has_more(self) -> bool:
        """Whether another page follows."""
        return self.number * PAGE_ROWS < self.total


@dataclass(frozen=True)
class EventChoices:
    """What the form of a new event offers: the site, its populations, people for duty."""

    site: SiteRow
    populations: tuple[PopulationRow, ...]
    duty: tuple[tuple[int, str], ...]
    today: date


def my_regions(actor: Actor) -> Collection[int] | None:
    """The regions whose events the actor sees; None means all."""
    return None if actor.is_coordinator else actor.regions


def events_page(actor: Actor, wanted: EventFilter, number: int) -> EventsPage:
    """One page of the events that the actor cares for, filtered and sorted."""
    return _page(actor, wanted, number, PAGE_ROWS)


def _page(actor: Actor, wanted: EventFilter, number: int, size: int) -> EventsPage:
    mine = my_regions(actor)
    asked = wanted.regions
    if asked is not None and mine is not None:
        asked = [r for r in asked if r in mine]
    scoped = replace(wanted, regions=mine if asked is None else asked)

    def body(store: Store) -> EventsPage:
        rows, total = store.events.lines(scoped, offset=(number - 1) * size, limit=size)
        regions = [r for r in store.places.regions() if mine is None or r.id in mine]
        return EventsPage(tuple(rows), total, number, tuple(regions))

    return read(body)


def events_between(actor: Actor, wanted: EventFilter, first: date, last: date) -> EventsPage:
    """The events of some days, at most `MOST_SHOWN`, filtered as the list is."""
    within = replace(wanted, first=first, last=last, sort=EventSort.DAY, backwards=False)
    return _page(actor, within, 1, MOST_SHOWN)


def site_choices(actor: Actor) -> list[tuple[int, str]]:
    """The sites at which the actor may create an event, by name."""
    return read(lambda store: store.places.site_choices(my_regions(actor)))


def event_choices(actor: Actor, site_id: int) -> EventChoices:
    """What a new event at a site can be made of; for staff of the site's region."""

    def body(store: Store) -> EventChoices:
        store.unit.actor = actor
        require(store, "site", site_id, "staff")
        site = store.places.site(site_id)
        today = clock.today(site.time_zone)
        season = store.programme.season_of(today)
        populations = store.places.populations_at(site_id, season.id if season else None)
        duty = store.events.duty_choices(today)
        return EventChoices(site, tuple(populations), tuple(duty), today)

    return read(body)
