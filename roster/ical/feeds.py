"""A whole calendar to subscribe to, joined from VEVENT bytes that were made before.

No METHOD (PUBLISH would force an ORGANIZER on every event), no SOURCE (it would repeat the
private address), nothing that depends on the moment of asking.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from roster.ical.entries import Entry, vevent
from roster.ical.lines import escaped, line
from roster.ical.timezones import vtimezone

CONTENT_TYPE = "text/calendar; charset=utf-8"
PRODUCT = "-//Seed Muster//Feed 1//EN"  # short: folded product names are refused by some servers
_REFRESH = "PT4H"


@dataclass(frozen=True)
class Prepared:
    """The kept bytes of one VEVENT and the time zone they speak of, if any."""

    content: bytes
    time_zone: str | None


def prepared(entry: Entry) -> Prepared:
    """One entry, made once per revision and kept."""
    return Prepared(vevent(entry), entry.time_zone)


def feed(name: str, events: Iterable[Prepared]) -> bytes:
    """The bytes of a feed named `name`; events stand in the order given."""
    listed = tuple(events)
    zones = sorted({e.time_zone for e in listed if e.time_zone})
    title = escaped(name).replace("\\n", " ")
    head = [
        line("BEGIN", "VCALENDAR"),
        line("VERSION", "2.0"),
        line("PRODID", PRODUCT),
        line("CALSCALE", "GREGORIAN"),
        line("NAME", title),
        line("X-WR-CALNAME", title),
        line("COLOR", "darkolivegreen"),
        line("REFRESH-INTERVAL;VALUE=DURATION", _REFRESH),
        line("X-PUBLISHED-TTL", _REFRESH),
    ]
    body = [*map(vtimezone, zones), *(e.content for e in listed)]
    return b"".join([*head, *body, line("END", "VCALENDAR")])
