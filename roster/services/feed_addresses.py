"""The private addresses of calendars: one's own, and those of the regions one coordinates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from roster.domain.errors import NotAllowed, NotFound
from roster.domain.people import Actor
from roster.services import access, tokens
from roster.services.feeds import PURPOSE
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.wiring import wiring


@dataclass(frozen=True)
class FeedAddress:
    """A feed's private address; None until one is made."""

    url: str | None
    last_used: datetime | None


def address_of(actor: Actor) -> FeedAddress:
    """The signed-in person's own feed address."""
    return read(lambda store: _address(store, _self(actor)))


def _self(actor: Actor) -> int:
    if actor.person is None:
        raise NotAllowed("only a person has a calendar")
    return actor.person


def _address(store: Store, person: int) -> FeedAddress:
    feed = store.feeds.of_person(person)
    if feed is None or not feed.alive:
        return FeedAddress(None, None)
    return FeedAddress(_url(feed.id, feed.generation), feed.last_used)


def _url(number: int, generation: int) -> str:
    secret = tokens.token(PURPOSE, number, generation)
    return f"{wiring().config.base_url}/feeds/{secret}.ics"


def renew_address(actor: Actor, *, operation: UUID | str | None = None) -> None:
    """Give the signed-in person a new address; the old one answers like a wrong one."""

    def body(store: Store) -> int:
        person = _self(store.unit.actor)
        feed = store.feeds.of_person(person)
        number = feed.id if feed else store.feeds.make(person=person)
        generation = store.feeds.renew(number) if feed else 1
        store.unit.note("renew_feed", "person", person, after={"generation": generation})
        return number

    write(body, actor=actor, operation=operation)


def revoke_address(actor: Actor, *, operation: UUID | str | None = None) -> None:
    """End the signed-in person's feed until they ask for a new address."""

    def body(store: Store) -> int:
        person = _self(store.unit.actor)
        feed = store.feeds.of_person(person)
        if feed is None:
            raise NotFound("feed", person)
        store.feeds.revoke(feed.id)
        store.unit.note("revoke_feed", "person", person)
        return feed.id

    write(body, actor=actor, operation=operation)


@dataclass(frozen=True)
class RegionAddress:
    """A region's calendar; `url` is None until its address is made."""

    region: int
    name: str
    url: str | None


def region_addresses(actor: Actor) -> list[RegionAddress]:
    """The calendars of the regions that the actor coordinates."""
    wanted = None if actor.is_coordinator else actor.regions
    rows = read(lambda store: store.feeds.regions(wanted))
    return [
        RegionAddress(r.region, r.name, _url(r.feed, r.generation) if r.feed else None)
        for r in rows
    ]


def region_address(actor: Actor, region: int, *, operation: UUID | str | None = None) -> str:
    """The private address of a region's feed, made if there is none; for its coordinators."""

    def body(store: Store) -> str:
        access.require_staff(store, region)
        feed = store.feeds.of_region(region)
        number = feed.id if feed else store.feeds.make(region=region)
        store.unit.note("show_feed", "region", region, region=region)
        return _url(number, feed.generation if feed else 1)

    return write(body, actor=actor, operation=operation)
