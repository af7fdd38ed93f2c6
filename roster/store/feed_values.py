"""What a feed is, and an event as calendars show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple


@dataclass(frozen=True)
class FeedRow:
    """One feed; `alive` is false when it was revoked or its person has left."""

    id: int
    kind: str
    person: int | None
    region: int | None
    generation: int
    revision: int
    changed_at: datetime
    last_used: datetime | None
    alive: bool
    language: str
    name: str


@dataclass(frozen=True)
class CalendarEvent:
    """An event as a calendar shows it; `role` is that of the feed's person, if it has one."""

    id: int
    uid: str
    n: int
    sequence: int
    kind: str
    title: str
    site_name: str
    meeting: str
    stage: str
    date_state: str
    local_start: datetime
    local_end: datetime
    time_zone: str
    starts_at: datetime
    day: date
    last_day: date
    made_at: datetime
    stamp: datetime
    role: str = ""


class KeptEntry(NamedTuple):
    """An event in a feed with the bytes kept of it; `of_n` is the revision they were made of."""

    event: int
    n: int
    stage: str
    last_day: date
    time_zone: str
    of_n: int | None
    content: bytes | None


@dataclass(frozen=True)
class RegionFeed:
    """A region and its feed (0: none)."""

    region: int
    name: str
    feed: int
    generation: int
