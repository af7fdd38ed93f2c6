"""Whether the VTIMEZONEs of a calendar say what zoneinfo says, at every event and clock change."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from roster.ical.tree import Component, Problem

_DAYS = {"MO": 0, "TU": 1, "WE": 2, "TH": 3, "FR": 4, "SA": 5, "SU": 6}
_LAST_YEAR = 2045
_LOCAL = re.compile(r"\d{8}T\d{6}")


def zone_problems(root: Component) -> Iterator[Problem]:
    """Missing, superfluous, double and wrong time zones (sections 3.2.19 and 3.6.5)."""
    zones = root.parts("VTIMEZONE")
    names = [zone.value("TZID") for zone in zones]
    used = {
        prop.parameters["TZID"]
        for event in root.parts("VEVENT")
        for prop in event.properties
        if "TZID" in prop.parameters
    }
    for name in sorted(used - set(names)):
        yield Problem("TZ-MISSING", f"no VTIMEZONE for {name}")
    for name in sorted(set(names) - used):
        yield Problem("TZ-UNUSED", f"a VTIMEZONE for {name}, which nothing uses")
    if len(set(names)) != len(names):
        yield Problem("TZ-DOUBLE", "a VTIMEZONE stands twice")
    for zone in zones:
        yield from _one(zone, root)


def _one(zone: Component, root: Component) -> Iterator[Problem]:
    name = zone.value("TZID")
    try:
        truth = ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        yield Problem("TZ-NAME", f"{name} is not a name of the tz database")
        return
    if not zone.parts("STANDARD"):
        yield Problem("VTZ-STANDARD", f"{name}: no STANDARD")
    try:
        onsets = sorted(o for part in zone.children for o in _onsets(part))
    except (ValueError, KeyError) as error:
        yield Problem("VTZ-RULE", f"{name}: {error}")
        return
    for at in _moments(name, root, onsets):
        said = next((after for when, after in reversed(onsets) if when <= at), None)
        if said is None and at < onsets[0][0]:
            continue
        if said != at.astimezone(truth).utcoffset():
            yield Problem("VTZ-OFFSET", f"{name}: {said} at {at:%Y-%m-%d %H:%M}Z")
            return


def _moments(
    name: str, root: Component, onsets: list[tuple[datetime, timedelta]]
) -> Iterator[datetime]:
    """Instants to compare: around each onset, mid-month of each year, and each event."""
    for at, _ in onsets:
        yield at
        yield at - timedelta(seconds=1)
    for year in range(onsets[0][0].year, _LAST_YEAR):
        for month in range(1, 13):
            yield datetime(year, month, 15, tzinfo=UTC)
    for event in root.parts("VEVENT"):
        for prop in event.properties:
            if prop.parameters.get("TZID") == name and _LOCAL.fullmatch(prop.value):
                local = datetime.strptime(prop.value, "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
                for hours in (-14, 0, 14):
                    yield local + timedelta(hours=hours)


def _onsets(part: Component) -> list[tuple[datetime, timedelta]]:
    """Each onset of one observance as (UTC, offset after), up to the last year looked at."""
    before, after = (_offset(part.value(n)) for n in ("TZOFFSETFROM", "TZOFFSETTO"))
    # Z in this DTSTART or a TZID beside it would be a mistake; strptime refuses the first.
    start = datetime.strptime(part.value("DTSTART"), "%Y%m%dT%H%M%S")  # noqa: DTZ007
    if part.all("RDATE"):
        raise ValueError("RDATE, where a rule is wanted")
    locals_ = [start]
    if part.value("RRULE"):
        locals_ = _yearly(start, dict(p.split("=") for p in part.value("RRULE").split(";")))
        if not locals_ or locals_[0] != start:
            raise ValueError("DTSTART is not the first onset of its own rule")
        until = dict(p.split("=") for p in part.value("RRULE").split(";")).get("UNTIL")
        if until:
            last = datetime.strptime(until, "%Y%m%dT%H%M%SZ") + before  # noqa: DTZ007
            locals_ = [at for at in locals_ if at <= last]
    return [((at - before).replace(tzinfo=UTC), after) for at in locals_]


def _yearly(start: datetime, rule: dict[str, str]) -> list[datetime]:
    if rule["FREQ"] != "YEARLY":
        raise ValueError(f"FREQ={rule['FREQ']}")
    nth, weekday = int(rule["BYDAY"][:-2]), _DAYS[rule["BYDAY"][-2:]]
    found = []
    for year in range(start.year, _LAST_YEAR + 1):
        month = start.replace(year=year, month=int(rule["BYMONTH"]), day=1)
        days = [month + timedelta(days=d) for d in range(31)]
        days = [d for d in days if d.month == month.month and d.weekday() == weekday]
        found.append(days[nth - 1] if nth > 0 else days[nth])
    return found


def _offset(text: str) -> timedelta:
    sign = {"+": 1, "-": -1}[text[:1]]
    return sign * timedelta(
        hours=int(text[1:3]), minutes=int(text[3:5]), seconds=int(text[5:7] or 0)
    )
