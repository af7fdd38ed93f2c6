"""Our own checker of feeds and invitations: what is wrong with these bytes, if anything.

It shares no code with the writer: lines, zones and rules are read here a second time, so that
a fault in the one shows in the other. Sections are those of RFC 5545 unless another is named.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from roster.ical.check_zones import zone_problems
from roster.ical.tree import Component, Problem, parse

_UTC = re.compile(r"\d{8}T\d{6}Z")
_LOCAL = re.compile(r"\d{8}T\d{6}")
_DAY = re.compile(r"\d{8}")
_STATUS = {"TENTATIVE", "CONFIRMED", "CANCELLED"}
_BARE = re.compile(r"(?<!\\)(?:\\\\)*[;,]")
_CONTROL = rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]"
_ODD_ESCAPE = re.compile(r"(?<!\\)(?:\\\\)*\\[^\\;,nN]")


def check_feed(content: bytes) -> list[Problem]:
    """Everything wrong with a feed (an empty list if nothing is)."""
    problems = raw_problems(content)
    try:
        root = parse(content)
    except ValueError as error:
        return [*problems, Problem("SYN-TREE", str(error))]
    return [*problems, *_calendar_problems(root), *_feed_problems(root)]


def check_invitation(content: bytes, method: str) -> list[Problem]:
    """Everything wrong with the calendar part of a mail of that method (RFC 5546)."""
    problems = raw_problems(content)
    try:
        root = parse(content)
    except ValueError as error:
        return [*problems, Problem("SYN-TREE", str(error))]
    return [*problems, *_calendar_problems(root), *_invitation_problems(root, method)]


def raw_problems(content: bytes) -> list[Problem]:
    """What is wrong with the octets: line ends, widths, folds, characters (section 3.1)."""
    return [
        *_true(
            (content.startswith(b"\xef\xbb\xbf"), "RAW-BOM", "starts with a byte order mark"),
            (not content.endswith(b"\r\n"), "RAW-EOF", "does not end with CRLF"),
            (re.search(rb"(?<!\r)\n|\r(?!\n)", content), "RAW-LF", "a line end that is not CRLF"),
            (re.search(_CONTROL, content), "RAW-CTRL", "a control character"),
            ("\ufffd" in content.decode("utf-8", "replace"), "RAW-UTF8", "not UTF-8"),
        ),
        *_line_problems(content),
    ]


def _true(*rows: tuple[object, str, str]) -> Iterator[Problem]:
    """The problems whose first column holds."""
    for wrong, code, text in rows:
        if wrong:
            yield Problem(code, text)


def _line_problems(content: bytes) -> Iterator[Problem]:
    for number, text in enumerate(content.split(b"\r\n"), start=1):
        if len(text) > 75:
            yield Problem("RAW-LONG", f"line {number} has {len(text)} octets")
        if text[1:2] and text.startswith(b" ") and text[1] & 0xC0 == 0x80:
            yield Problem("RAW-SPLIT", f"line {number} begins inside a character")


def _counted(part: Component, names: str, least: int) -> Iterator[Problem]:
    """Properties that must stand once (`least` 1) or at most once (0)."""
    for name in names.split():
        count = len(part.all(name))
        if not least <= count <= 1:
            text = f"{part.value('UID')}: {name} stands {count} times"
            yield Problem(f"{'CAL' if part.name == 'VCALENDAR' else 'EV'}-{name}", text)


def _calendar_problems(root: Component) -> Iterator[Problem]:
    yield from _true(
        (root.name != "VCALENDAR", "CAL-ROOT", f"{root.name} instead of VCALENDAR"),
        (root.value("VERSION") != "2.0", "CAL-VERSION", "VERSION is not 2.0"),
    )
    yield from _counted(root, "VERSION PRODID", 1)
    yield from _counted(root, "CALSCALE METHOD", 0)
    events = root.parts("VEVENT")
    seen = Counter((e.value("UID"), e.value("RECURRENCE-ID")) for e in events)
    for (uid, _), count in seen.items():
        if count > 1:
            yield Problem("UID-DUP", f"{uid} stands {count} times")
    for event in events:
        yield from _event_problems(event)
    yield from zone_problems(root)


def _event_problems(event: Component) -> Iterator[Problem]:
    uid = event.value("UID")
    yield from _counted(event, "UID DTSTAMP DTSTART SEQUENCE SUMMARY", 1)
    yield from _counted(event, "DTEND STATUS LOCATION DESCRIPTION URL CLASS TRANSP", 0)
    for name in ("DTSTAMP", "CREATED", "LAST-MODIFIED"):
        if event.all(name) and not _UTC.fullmatch(event.value(name)):
            yield Problem(f"UTC-{name}", f"{uid}: {name} is not in UTC")
    status, sequence = event.value("STATUS"), event.value("SEQUENCE")
    yield from _true(
        (re.search(r"[@.]", uid), "UID-HOST", f"{uid}: a host or name (RFC 7986 section 5.3)"),
        (event.all("STATUS") and status not in _STATUS, "STATUS", f"{uid}: {status}"),
        (not sequence.isdigit(), "SEQ", f"{uid}: SEQUENCE {sequence!r}"),
    )
    yield from _span_problems(uid, event)
    yield from _text_problems(uid, event)
    yield from _alarm_problems(uid, event)


def _span_problems(uid: str, event: Component) -> Iterator[Problem]:
    ends = [p for p in event.properties if p.name in ("DTSTART", "DTEND")]
    if len(ends) != 2:
        yield Problem("EV-END", f"{uid}: DTEND is missing")
        return
    kinds = set()
    for end in ends:
        whole = end.parameters.get("VALUE") == "DATE"
        kinds.add(whole)
        fits = _DAY if whole else _LOCAL if "TZID" in end.parameters else _UTC
        if not fits.fullmatch(end.value):
            yield Problem("EV-TYPE", f"{uid}: {end.name} {end.value}")
        if whole and "TZID" in end.parameters:
            yield Problem("TZID-DATE", f"{uid}: a day with a time zone")
    if len(kinds) > 1:
        yield Problem("EV-TYPE", f"{uid}: start and end of two kinds")
    alike = ends[0].parameters.get("TZID") == ends[1].parameters.get("TZID")
    if alike and event.value("DTEND") <= event.value("DTSTART"):
        yield Problem("EV-END", f"{uid}: ends before it starts")
    if kinds == {True} and event.value("TRANSP") != "TRANSPARENT":
        yield Problem("EV-TRANSP", f"{uid}: a window of days blocks the calendar")


def _text_problems(uid: str, event: Component) -> Iterator[Problem]:
    for prop in event.properties:
        text = prop.name in ("SUMMARY", "DESCRIPTION", "LOCATION")
        bare = _BARE.search(prop.value) or _ODD_ESCAPE.search(prop.value)
        page = re.match(r"https?://\S+$", prop.value)
        yield from _true(
            (text and bare, "TXT-ESC", f"{uid}: {prop.name} is not escaped"),
            (prop.name == "URL" and not page, "URL", f"{uid}: {prop.value}"),
        )


def _alarm_problems(uid: str, event: Component) -> Iterator[Problem]:
    for alarm in event.parts("VALARM"):
        if not alarm.value("TRIGGER") or alarm.value("ACTION") not in ("DISPLAY", "AUDIO"):
            yield Problem("ALARM", f"{uid}: ACTION or TRIGGER")
        if alarm.value("ACTION") == "DISPLAY" and not alarm.value("DESCRIPTION"):
            yield Problem("ALARM", f"{uid}: DISPLAY without DESCRIPTION")
        if event.value("STATUS") == "CANCELLED" or event.value("TRANSP") == "TRANSPARENT":
            yield Problem("ALARM", f"{uid}: an alarm on what nobody attends")


def _feed_problems(root: Component) -> Iterator[Problem]:
    name, interval = root.value("NAME"), root.value("REFRESH-INTERVAL")
    named = name and name == root.value("X-WR-CALNAME")
    timed = re.fullmatch(r"PT\d+H", interval) and interval == root.value("X-PUBLISHED-TTL")
    yield from _true(
        (root.all("METHOD"), "METHOD-FEED", "a feed has no METHOD"),
        (root.all("SOURCE"), "FEED-SOURCE", "SOURCE would repeat the private address"),
        (not named, "FEED-NAME", "NAME and X-WR-CALNAME differ or are missing"),
        (not timed, "FEED-TTL", "REFRESH-INTERVAL and X-PUBLISHED-TTL differ or are missing"),
    )
    for event in root.parts("VEVENT"):
        uid, stamp = event.value("UID"), event.value("DTSTAMP")
        peopled = event.all("ORGANIZER") or event.all("ATTENDEE")
        yield from _true(
            (peopled, "ORG-FEED", f"{uid}: people in a feed"),
            (stamp != event.value("LAST-MODIFIED"), "STAMP-LM", f"{uid}: not LAST-MODIFIED"),
            (not event.value("STATUS"), "STATUS", f"{uid}: no STATUS"),
        )


def _invitation_problems(root: Component, method: str) -> Iterator[Problem]:
    said, events = root.value("METHOD"), root.parts("VEVENT")
    yield from _true(
        (said != method, "ITIP-METHOD", f"METHOD {said or 'missing'} instead of {method}"),
        (len(events) != 1, "ITIP-ONE", f"{len(events)} events in one mail"),
    )
    for event in events:
        for name in ("ORGANIZER", "ATTENDEE"):
            people = event.all(name)
            if len(people) != 1 or not people[0].value.startswith("mailto:"):
                yield Problem(f"ITIP-{name}", f"{len(people)} of {name}; one mailto: is right")
        status = event.value("STATUS")
        fitting = {"REQUEST": ("TENTATIVE", "CONFIRMED"), "CANCEL": ("", "CANCELLED")}
        cancels = method == "CANCEL"
        yield from _true(
            (status not in fitting[method], "ITIP-STATUS", f"{method} with STATUS {status}"),
            (cancels and event.parts("VALARM"), "ALARM", "an alarm in a CANCEL"),
            (cancels and event.value("SEQUENCE") == "0", "SEQ-CANCEL", "CANCEL counts up"),
        )
