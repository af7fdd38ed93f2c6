"""Calendar feeds: whose they are, their secret addresses, and their bytes."""

from __future__ import annotations

import gzip
from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.errors import NotAllowed, NotFound, RuleBroken
from roster.domain.people import Actor, system
from roster.domain.reasons import Reason
from roster.services import tokens
from roster.services.calendar_entries import (
    PUBLIC,
    REGION,
    Reader,
    audience_of,
    entry_of,
)
from roster.services.clock import now
from roster.store.feed_values import CalendarEvent, FeedRow, KeptEntry
from roster.store.feeds import note_last_used
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.words.catalogue import known as known_language
from roster.words.letters import phrase

BACK_DAYS, AHEAD_DAYS = 60, 400
CALLED_OFF_DAYS = 30
_FORMAT = 1  # counts up when the bytes of the same events would change
PURPOSE = "feed"
_STARTS, _ENDS = b"\nDTSTART;TZID=", b"\nDTEND;TZID="
"""How bytes speak of a time zone, whose rules must then stand in the same feed (RFC 5545)."""
_READ_LATELY = timedelta(days=30)
_USE_NOTED_EVERY = timedelta(minutes=5)


@dataclass(frozen=True)
class Found:
    """A feed that an address opened, with what decides whether it changed."""

    feed: FeedRow
    etag: str
    changed_at: datetime


def touch(store: Store, people: Collection[int], region: int | None) -> None:
    """Say that the feeds of these people and of the region changed (part of another act)."""
    store.feeds.touch(people, region)


def _month(day: date) -> date:
    return day.replace(day=1)


def _span(day: date) -> tuple[date, date]:
    """The days a feed shows: it moves once a month, so that a quiet feed keeps its bytes."""
    return _month(day - timedelta(days=BACK_DAYS)), _month(day + timedelta(days=AHEAD_DAYS))


def _etag(feed: FeedRow, day: date) -> str:
    return f"{feed.id}-{feed.generation}-{feed.revision}-{_month(day):%Y%m}-{_FORMAT}"


def find(token: str) -> Found | None:
    """The feed of an address, or None for a wrong, old or revoked one (all alike)."""
    number = tokens.number_in(token)
    feed = None if number is None else read(lambda store: store.feeds.get(number))
    generation = feed.generation if feed and feed.alive else None
    if not tokens.is_right(PURPOSE, token, generation) or feed is None:
        return None
    today = now().date()
    month_began = datetime.combine(_month(today), datetime.min.time(), now().tzinfo)
    return Found(feed, _etag(feed, today), max(feed.changed_at, month_began))


def body(found: Found) -> bytes:
    """The feed's bytes, gzipped: the kept ones, or made afresh."""

    def look(store: Store) -> bytes:
        kept = store.feeds.body(found.feed.id, found.etag)
        return kept or _packed(_content(store, found.feed))

    return read(look)


def note_use(found: Found) -> None:
    """Keep that a feed was read, at most once in five minutes."""
    last, at = found.feed.last_used, now()
    if last is None or at - last > _USE_NOTED_EVERY:
        note_last_used(found.feed.id, at)


def _packed(content: bytes) -> bytes:
    return gzip.compress(content, 6, mtime=0)  # the same bytes at every packing


def refresh_kept(limit: int = 50) -> int:
    """Make the kept bytes of feeds that are read and have changed (a job); how many."""
    since = now() - _READ_LATELY
    stale = read(lambda store: store.feeds.stale(since, limit))

    def keep(store: Store, number: int) -> None:
        feed = store.feeds.get(number)
        if feed and feed.alive:
            tag = _etag(feed, now().date())
            store.feeds.keep_body(feed, tag, _packed(_content(store, feed)))

    for number in stale:
        write(lambda store, n=number: keep(store, n), actor=system("job:feeds"))  # type: ignore[misc]
    return len(stale)


def _content(store: Store, feed: FeedRow) -> bytes:
    if feed.kind == "person" and feed.person is not None:
        return _of_person(store, feed.person, feed.name, feed.language)
    if feed.kind == "region" and feed.region is not None:
        return _of_region(store, feed.region, feed.name)
    return _public(store)


def person_bytes(actor: Actor, who: str) -> bytes:
    """A person's calendar as their feed gives it, by number (V123) or address."""

    def look(store: Store) -> bytes:
        number = store.invitations.find(who)
        person = store.invitations.recipient(number) if number else None
        if person is None:
            raise NotFound("person", who)
        return _of_person(store, person.person, person.name, person.language)

    _staff_only(actor)
    return read(look)


def region_bytes(actor: Actor, region: str) -> bytes:
    """A region's calendar, by the region's code or name."""

    def look(store: Store) -> bytes:
        found = store.feeds.region_by_code(region)
        if found is None:
            raise NotFound("region", region)
        return _of_region(store, *found)

    _staff_only(actor)
    return read(look)


def public_bytes() -> bytes:
    """What anybody may see: open events, without meeting point.

    Off until the programme turns its setting `public_feed` to yes; RuleBroken until then.
    """

    def look(store: Store) -> bytes:
        if store.programme.settings_on(now().date()).get("public_feed") != "yes":
            raise RuleBroken([Reason("public_feed_off")])
        return _public(store)

    return read(look)


def _staff_only(actor: Actor) -> None:
    if not actor.is_coordinator:
        raise NotAllowed(f"{actor.name} may not read other people's calendars")


def _of_person(store: Store, number: int, name: str, language: str) -> bytes:
    language = known_language(language)
    events = store.feeds.events_of_person(number, *_span(now().date()))
    title = phrase("feed_person", language, name=name)
    return _joined(store, title, [(e, Reader(audience_of(e.role), language)) for e in events])


def _of_region(store: Store, number: int, name: str) -> bytes:
    days, reader = _span(now().date()), Reader(REGION, "en")
    title = phrase("feed_region", "en", name=name)
    kept = store.feeds.kept_of_region(number, *days, reader.key)
    if not _all_stand(kept):
        events = store.feeds.events_of_region(number, *days)
        return _joined(store, title, [(e, reader) for e in events])
    return _strung(title, kept)


def _public(store: Store) -> bytes:
    programme = store.programme.the_one()
    days, reader = _span(now().date()), Reader(PUBLIC, "en")
    title = phrase("feed_public", "en", programme=programme.name if programme else "Seed Muster")
    kept = store.feeds.kept_of_open(*days, reader.key)
    if not _all_stand(kept):
        return _joined(store, title, [(e, reader) for e in store.feeds.open_events(*days)])
    return _strung(title, kept)


def _all_stand(kept: list[KeptEntry]) -> bool:
    """Whether of every event the bytes of its newest revision are kept."""
    return all(one.of_n == one.n for one in kept)


def _strung(title: str, kept: list[KeptEntry]) -> bytes:
    """The feed out of kept bytes alone, byte for byte what `_joined` makes of the same events."""
    from roster.ical.feeds import Prepared, feed

    oldest = _oldest_called_off()
    parts = []
    for one in kept:
        content = one.content or b""
        if one.stage != "called_off" or one.last_day >= oldest:
            zoned = _STARTS in content or _ENDS in content
            parts.append(Prepared(content, one.time_zone if zoned else None))
    return feed(title, parts)


def _oldest_called_off() -> date:
    return _month(now().date() - timedelta(days=CALLED_OFF_DAYS))


def _joined(store: Store, title: str, shown: list[tuple[CalendarEvent, Reader]]) -> bytes:
    """The feed out of kept bytes; only events that have none are written anew."""
    from roster.ical.entries import vevent
    from roster.ical.feeds import Prepared, feed

    oldest = _oldest_called_off()
    shown = [(e, r) for e, r in shown if e.stage != "called_off" or e.last_day >= oldest]
    by_key: dict[str, list[int]] = defaultdict(list)
    for event, reader in shown:
        by_key[reader.key].append(event.id)
    kept = {key: store.feeds.texts(numbers, key) for key, numbers in by_key.items()}
    parts = []
    for event, reader in shown:
        n, content = kept[reader.key].get(event.id, (-1, b""))
        entry = None if n == event.n else entry_of(event, reader)
        if entry is not None:
            content = vevent(entry)
        fixed = event.date_state == "fixed"
        parts.append(Prepared(content, event.time_zone if fixed and _zoned(event) else None))
    return feed(title, parts)


def _zoned(event: CalendarEvent) -> bool:
    from roster.ical.entries import is_odd

    both = (event.local_start, event.local_end)
    return not all(is_odd(at, event.time_zone) for at in both)
