"""VTIMEZONE of our own making: yearly rules, each onset in the wall clock before the change.

The onset of an observance is read with TZOFFSETFROM (RFC 5545 section 3.6.5), so the spring
change of America/Boise stands at 02:00 and not at 03:00. Everything is read out of zoneinfo,
and rules that hold to the end of what was read stay open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from roster.ical.lines import line

FIRST_YEAR = 2007  # the present rules of the United States begin here (15 U.S.C. 260a)
LAST_YEAR = 2050
_STRIDE = timedelta(days=5)
_DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


@dataclass(frozen=True)
class Change:
    """One clock change: when (UTC), offsets before and after, and what it leads to."""

    at: datetime
    before: timedelta
    after: timedelta
    name: str
    daylight: bool

    @property
    def onset(self) -> datetime:
        """The wall clock at the change, still by the old offset."""
        return (self.at + self.before).replace(tzinfo=None)


def changes(time_zone: str) -> tuple[Change, ...]:
    """Every change of offset or name from FIRST_YEAR to LAST_YEAR, in order."""
    return tuple(_changes(ZoneInfo(time_zone)))


def _changes(zone: ZoneInfo) -> Iterator[Change]:
    at, end = datetime(FIRST_YEAR, 1, 1, tzinfo=UTC), datetime(LAST_YEAR + 1, 1, 1, tzinfo=UTC)
    while at < end:
        later = min(at + _STRIDE, end)
        if _face(at, zone) != _face(later, zone):
            yield _change(_moment(at, later, zone), zone)
        at = later


def _face(at: datetime, zone: ZoneInfo) -> tuple[timedelta, str]:
    local = at.astimezone(zone)
    return local.utcoffset() or timedelta(0), local.tzname() or ""


def _moment(early: datetime, late: datetime, zone: ZoneInfo) -> datetime:
    old = _face(early, zone)
    while late - early > timedelta(seconds=1):
        middle = early + timedelta(seconds=(late - early) // timedelta(seconds=2))
        early, late = (middle, late) if _face(middle, zone) == old else (early, middle)
    return late


def _change(at: datetime, zone: ZoneInfo) -> Change:
    before, _ = _face(at - timedelta(seconds=1), zone)
    after, name = _face(at, zone)
    old_dst = (at - timedelta(seconds=1)).astimezone(zone).dst() or timedelta(0)
    new_dst = at.astimezone(zone).dst() or timedelta(0)
    # The tz database counts Irish winter as negative daylight saving; readers expect
    # the summer to be DAYLIGHT.
    backwards = min(old_dst, new_dst) < timedelta(0)
    daylight = after > before if backwards else new_dst > timedelta(0)
    return Change(at, before, after, name, daylight)


@lru_cache(maxsize=64)
def vtimezone(time_zone: str) -> bytes:
    """The VTIMEZONE of an IANA time zone, CRLF at the end."""
    body = [line("BEGIN", "VTIMEZONE"), line("TZID", time_zone)]
    found = changes(time_zone)
    if not found or found[0].at.year > FIRST_YEAR:
        body.append(_opening(ZoneInfo(time_zone)))
    for run in _runs(found):
        body.append(_observance(run))
    return b"".join([*body, line("END", "VTIMEZONE")])


def _opening(zone: ZoneInfo) -> bytes:
    offset, name = _face(datetime(FIRST_YEAR, 1, 1, 12, tzinfo=UTC), zone)
    start = datetime(FIRST_YEAR, 1, 1, tzinfo=UTC)
    return _observance([Change(start - offset, offset, offset, name, daylight=False)])


def _runs(found: tuple[Change, ...]) -> list[list[Change]]:
    """Changes gathered into what one yearly rule can say, in the order of their first onset."""
    kinds: dict[tuple[object, ...], list[Change]] = {}
    for change in found:
        onset = change.onset
        look = (onset.month, onset.weekday(), onset.time(), change.before, change.after)
        kinds.setdefault((*look, change.name, change.daylight), []).append(change)
    runs = [run for alike in kinds.values() for run in _yearly(alike)]
    return sorted(runs, key=lambda run: run[0].at)


def _yearly(alike: list[Change]) -> Iterator[list[Change]]:
    run: list[Change] = []
    for change in alike:
        if run and not (change.onset.year == run[-1].onset.year + 1 and _nth([*run, change])):
            yield run
            run = []
        run.append(change)
    if run:
        yield run


def _nth(run: list[Change]) -> int | None:
    """Which weekday of its month every onset of the run is: 1 to 4, -1 the last; None if mixed."""
    onsets = [change.onset for change in run]
    if all((onset + timedelta(days=7)).month != onset.month for onset in onsets):
        return -1
    nths = {(onset.day - 1) // 7 + 1 for onset in onsets}
    return nths.pop() if len(nths) == 1 and max(nths) < 5 else None


def _observance(run: list[Change]) -> bytes:
    first, kind = run[0], "DAYLIGHT" if run[0].daylight else "STANDARD"
    body = [line("BEGIN", kind), line("DTSTART", f"{first.onset:%Y%m%dT%H%M%S}")]
    nth = _nth(run)
    if len(run) > 1 and nth:
        day = f"{nth}{_DAYS[first.onset.weekday()]}"
        rule = f"FREQ=YEARLY;BYMONTH={first.onset.month};BYDAY={day}"
        if run[-1].onset.year < LAST_YEAR:
            rule += f";UNTIL={run[-1].at:%Y%m%dT%H%M%SZ}"
        body.append(line("RRULE", rule))
    body.append(line("TZNAME", first.name))
    body.append(line("TZOFFSETFROM", _offset(first.before)))
    body.append(line("TZOFFSETTO", _offset(first.after)))
    return b"".join([*body, line("END", kind)])


def _offset(offset: timedelta) -> str:
    seconds = int(offset.total_seconds())
    sign, seconds = ("-", -seconds) if seconds < 0 else ("+", seconds)
    text = f"{sign}{seconds // 3600:02d}{seconds % 3600 // 60:02d}"
    return text + (f"{seconds % 60:02d}" if seconds % 60 else "")
