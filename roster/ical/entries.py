"""What one calendar shows of one event, and the VEVENT that says it.

An event whose date is still an expected window is a TENTATIVE all-day span that leaves the
day free; one with a fixed date is CONFIRMED from local time to local time in the time zone of
its meeting point. A called-off one stays for a while as CANCELLED.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from icalendar import Alarm, Event, vText

from roster.ical.lines import clean


class Status(StrEnum):
    """STATUS of a VEVENT (RFC 5545 section 3.8.1.11)."""

    TENTATIVE = "TENTATIVE"
    CONFIRMED = "CONFIRMED"
    CANCELLED = "CANCELLED"


@dataclass(frozen=True)
class Window:
    """An expected window: whole days, the last one included."""

    first_on: date
    last_on: date

    def __post_init__(self) -> None:
        if self.last_on < self.first_on:
            raise ValueError(f"window ends on {self.last_on}, before {self.first_on}")


@dataclass(frozen=True)
class Hours:
    """A fixed date: wall-clock times at the meeting point, and the name of its time zone."""

    local_start: datetime
    local_end: datetime
    time_zone: str

    def __post_init__(self) -> None:
        if self.local_start.tzinfo or self.local_end.tzinfo:
            raise ValueError("local times carry no offset; the time zone stands beside them")
        if self.ends_at <= self.starts_at:
            raise ValueError(f"ends at {self.local_end}, not after {self.local_start}")

    @property
    def starts_at(self) -> datetime:
        """The start in UTC."""
        return instant(self.local_start, self.time_zone)

    @property
    def ends_at(self) -> datetime:
        """The end in UTC."""
        return instant(self.local_end, self.time_zone)


@dataclass(frozen=True)
class Entry:
    """One event as one person may see it: no name of a crew member, no plant's exact place.

    `stamp` is the instant of the revision shown, in UTC (never the time of asking, or the
    same event would have new bytes at every poll); `reminders` count back from the start.
    """

    uid: str
    sequence: int
    stamp: datetime
    created: datetime
    when: Window | Hours
    status: Status
    summary: str
    description: str = ""
    location: str = ""
    url: str = ""
    reminders: tuple[timedelta, ...] = ()

    @property
    def time_zone(self) -> str | None:
        """The time zone whose VTIMEZONE must stand in the same calendar, if any."""
        if isinstance(self.when, Window):
            return None
        both = (self.when.local_start, self.when.local_end)
        return None if all(is_odd(t, self.when.time_zone) for t in both) else self.when.time_zone


def instant(local: datetime, time_zone: str) -> datetime:
    """The wall-clock time as UTC; of a repeated hour the first (RFC 5545 section 3.3.5)."""
    return local.replace(tzinfo=ZoneInfo(time_zone), fold=0).astimezone(UTC)


def is_odd(local: datetime, time_zone: str) -> bool:
    """Whether that wall-clock time does not exist or exists twice (a clock change).

    Readers disagree on such times by an hour, so they are written in UTC.
    """
    zone = ZoneInfo(time_zone)
    early, late = local.replace(tzinfo=zone, fold=0), local.replace(tzinfo=zone, fold=1)
    return early.utcoffset() != late.utcoffset()


def _written(local: datetime, time_zone: str) -> datetime:
    if is_odd(local, time_zone):
        return instant(local, time_zone)
    return local.replace(tzinfo=ZoneInfo(time_zone))


def _utc(at: datetime) -> datetime:
    if at.tzinfo is None:
        raise ValueError("a stamp needs an offset")
    return at.astimezone(UTC).replace(microsecond=0)


def component(entry: Entry) -> Event:
    """The VEVENT of an entry, without organizer and attendee."""
    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", _utc(entry.stamp))
    event.add("created", _utc(entry.created))
    event.add("last-modified", _utc(entry.stamp))
    event.add("sequence", entry.sequence)
    event.add("status", entry.status.value)
    _add_when(event, entry.when)
    event.add("summary", clean(entry.summary))
    for name, text in (("description", entry.description), ("location", entry.location)):
        if text:
            event.add(name, vText(clean(text, lines=name == "description")))
    if entry.url:
        event.add("url", entry.url)
    busy = entry.status is Status.CONFIRMED and isinstance(entry.when, Hours)
    event.add("transp", "OPAQUE" if busy else "TRANSPARENT")
    event.add("class", "PRIVATE")
    if busy:
        for before in entry.reminders:
            event.add_component(_alarm(entry, before))
    return event


def _add_when(event: Event, when: Window | Hours) -> None:
    if isinstance(when, Window):
        event.add("dtstart", when.first_on)
        event.add("dtend", when.last_on + timedelta(days=1))  # DTEND is exclusive
    else:
        event.add("dtstart", _written(when.local_start, when.time_zone))
        event.add("dtend", _written(when.local_end, when.time_zone))


def _alarm(entry: Entry, before: timedelta) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", -before)
    alarm.add("description", clean(entry.summary))
    return alarm


def vevent(entry: Entry) -> bytes:
    """The bytes of one VEVENT, CRLF at the end; the same entry gives the same bytes."""
    return bytes(component(entry).to_ical())
