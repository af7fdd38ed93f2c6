"""Calendar feeds: their generations and revisions, what stands in them, and kept bytes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, datetime
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Select,
    and_,
    exists,
    or_,
    select,
    update,
)

from roster.store import feed_queries as queries
from roster.store.feed_values import CalendarEvent, FeedRow, KeptEntry, RegionFeed
from roster.store.models.events import event_text
from roster.store.models.messages import feed, feed_body
from roster.store.models.programme import region
from roster.store.notes import note
from roster.store.unit import Unit

LIVING = ("active", "paused")


class Feeds:
    """Reads and counts feeds; the kept bytes are derived and may be thrown away at any time."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def get(self, number: int) -> FeedRow | None:
        """One feed, revoked or not."""
        return self._feed(queries.BY_NUMBER, number)

    def of_person(self, number: int) -> FeedRow | None:
        """A person's own feed."""
        return self._feed(queries.BY_PERSON, number)

    def of_region(self, number: int) -> FeedRow | None:
        """A region's feed."""
        return self._feed(queries.BY_REGION, number)

    def _feed(self, query: Select[Any], number: int) -> FeedRow | None:
        row = self.unit.run(query, {"number": number}).one_or_none()
        if row is None:
            return None
        alive = row.revoked_at is None and row.state in (None, *LIVING)
        return FeedRow(
            *(row.id, row.kind, row.person, row.region, row.generation, row.revision),
            *(row.changed_at, row.last_used, alive, row.language or "en", row.name or row.r or ""),
        )

    def touch(self, people: Collection[int], of_region: int | None) -> None:
        """Count up the feeds of these people (made where missing), of the region and the public."""
        which: list[ColumnElement[bool]] = [feed.c.kind == "public"]
        if people:
            which.append(and_(feed.c.kind == "person", feed.c.person.in_(people)))
        if of_region is not None:
            which.append(and_(feed.c.kind == "region", feed.c.region == of_region))
        done = self.unit.run(
            update(feed)
            .where(or_(*which))
            .values(revision=feed.c.revision + 1, changed_at=self.unit.at)
            .returning(feed.c.person)
        )
        known = {p for p in done.scalars() if p is not None}
        for number in sorted(set(people) - known):
            self.make(person=number)

    def make(self, *, person: int | None = None, region: int | None = None) -> int:
        """A new feed of a person, of a region, or (neither) the public one."""
        kind = "person" if person else "region" if region else "public"
        return self.unit.insert(
            feed, kind=kind, person=person, region=region, changed_at=self.unit.at
        )

    def renew(self, number: int) -> int:
        """Make the old address worthless and give the new generation."""
        done = self.unit.run(
            update(feed)
            .where(feed.c.id == number)
            .values(
                generation=feed.c.generation + 1, revoked_at=None, last_used=None,
                revision=feed.c.revision + 1, changed_at=self.unit.at,
            )
            .returning(feed.c.generation)
        )  # fmt: skip
        return int(done.scalar_one())

    def revoke(self, number: int) -> None:
        """End a feed: its address answers like one that never was."""
        self.unit.run(update(feed).where(feed.c.id == number).values(revoked_at=self.unit.at))

    def body(self, number: int, etag: str) -> bytes | None:
        """The kept gzipped bytes under this tag."""
        return self.unit.run(queries.BODY, {"number": number, "tag": etag}).scalar()

    def keep_body(self, of: FeedRow, etag: str, content: bytes) -> None:
        """Keep gzipped bytes in place of older ones."""
        self.unit.run(feed_body.delete().where(feed_body.c.feed == of.id))
        self.unit.run(
            feed_body.insert().values(
                feed=of.id, revision=of.revision, etag=etag, bytes=content, made_at=self.unit.at
            )
        )

    def stale(self, used_since: datetime, limit: int) -> list[int]:
        """Feeds that are read and whose kept bytes are missing or of an older revision."""
        b = feed_body.c
        rows = self.unit.run(
            select(feed.c.id)
            .outerjoin(feed_body, b.feed == feed.c.id)
            .where(
                feed.c.revoked_at.is_(None),
                feed.c.last_used >= used_since,
                or_(b.revision.is_(None), b.revision != feed.c.revision),
            )
            .order_by(feed.c.id)
            .limit(limit)
        )
        return [int(n) for n in rows.scalars()]

    def events_of_person(self, number: int, first: date, last: date) -> list[CalendarEvent]:
        """Events where the person has a spot, or agreed to lead or collect data."""
        return self._events(queries.OF_PERSON, first, last, {"number": number})

    def events_of_region(self, number: int, first: date, last: date) -> list[CalendarEvent]:
        """All published events of a region."""
        return self._events(queries.OF_REGION, first, last, {"number": number})

    def open_events(self, first: date, last: date) -> list[CalendarEvent]:
        """Events that anybody may know of: open or ready."""
        return self._events(queries.OPEN, first, last, {})

    def kept_of_region(
        self, number: int, first: date, last: date, audience: str
    ) -> list[KeptEntry]:
        """The same as `events_of_region`, as far as a feed out of kept bytes needs it."""
        return self._kept(
            queries.KEPT_OF_REGION, first, last, {"number": number, "audience": audience}
        )

    def kept_of_open(self, first: date, last: date, audience: str) -> list[KeptEntry]:
        """The same as `open_events`, as far as a feed out of kept bytes needs it."""
        return self._kept(queries.KEPT_OF_OPEN, first, last, {"audience": audience})

    def _kept(
        self, wanted: Select[Any], first: date, last: date, values: dict[str, Any]
    ) -> list[KeptEntry]:
        rows = self.unit.run(wanted, values | {"first": first, "last": last})
        return [KeptEntry._make(row) for row in rows.fetchall()]

    def _events(
        self, wanted: Select[Any], first: date, last: date, values: dict[str, Any]
    ) -> list[CalendarEvent]:
        rows = self.unit.run(wanted, values | {"first": first, "last": last})
        return [_calendar_event(row) for row in rows]

    def event(self, number: int) -> CalendarEvent | None:
        """One event as calendars show it."""
        row = self.unit.run(queries.ONE, {"number": number}).one_or_none()
        return None if row is None else _calendar_event(row)

    def texts(self, events: Collection[int], audience: str) -> dict[int, tuple[int, bytes]]:
        """Kept VEVENT bytes by event: the revision they were made of, and the bytes."""
        if not events:
            return {}
        rows = self.unit.run(queries.TEXTS, {"events": list(events), "audience": audience})
        return {r.event: (r.n, r.bytes) for r in rows}

    def keep_texts(self, number: int, n: int, texts: Mapping[str, bytes]) -> None:
        """Keep the VEVENT bytes of an event for each audience, in place of older ones."""
        self.unit.run(event_text.delete().where(event_text.c.event == number))
        rows = [
            {"event": number, "n": n, "audience": audience, "bytes": content}
            for audience, content in texts.items()
        ]
        self.unit.run(event_text.insert(), rows)

    def regions(self, wanted: Collection[int] | None) -> list[RegionFeed]:
        """Regions (None: all) with the number of their feed, if they have one."""
        joined = select(
            region.c.id.label("region"), region.c.name, feed.c.id.label("feed"), feed.c.generation
        ).outerjoin(
            feed,
            and_(
                feed.c.region == region.c.id, feed.c.kind == "region", feed.c.revoked_at.is_(None)
            ),
        )
        if wanted is not None:
            joined = joined.where(region.c.id.in_(wanted))
        rows = self.unit.run(joined.order_by(region.c.name).limit(200))
        return [RegionFeed(r.region, r.name, r.feed or 0, r.generation or 1) for r in rows]

    def region_by_code(self, code: str) -> tuple[int, str] | None:
        """Number and name of a region by its code or name."""
        row = self.unit.run(
            select(region.c.id, region.c.name).where(
                or_(region.c.code == code, region.c.name == code)
            )
        ).first()
        return None if row is None else (row.id, row.name)

    def has_region(self, number: int) -> bool:
        """Whether there is a region of that number."""
        return bool(self.unit.run(select(exists().where(region.c.id == number))).scalar())


def note_last_used(number: int, at: datetime) -> None:
    """Keep when a feed was last read, beside the request's own reading."""

    def body(connection: Connection) -> None:
        connection.execute(update(feed).where(feed.c.id == number).values(last_used=at))

    note(body)


def _calendar_event(row: Any) -> CalendarEvent:
    return CalendarEvent(*row)
