"""Events at clock changes: every row of a table of local times, read back by two parsers.

Rows from the tz database and, independently, from 15 U.S.C. 260a (second Sunday of March to first
Sunday of November, 02:00 local) and Directive 2000/84/EC (last Sundays of March and October,
01:00 UTC). In a gap the time is read with the offset before it, in a repeated hour it is
the first (RFC 5545 section 3.3.5).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from roster.ical.check import check_feed
from roster.ical.entries import Hours, is_odd
from roster.ical.feeds import feed, prepared
from tests.ical.samples import (
    BALSAMROOT,
    NODE,
    NODE_MODULES,
    by_icalendar,
    by_node,
    by_vobject,
)

ROWS = """
America/Los_Angeles 2026-03-08T01:59 ok 2026-03-08T09:59Z
America/Los_Angeles 2026-03-08T02:30 gap 2026-03-08T10:30Z
America/Los_Angeles 2026-03-08T03:00 ok 2026-03-08T10:00Z
America/Los_Angeles 2026-11-01T00:59 ok 2026-11-01T07:59Z
America/Los_Angeles 2026-11-01T01:30 fold 2026-11-01T08:30Z
America/Los_Angeles 2026-11-01T02:00 ok 2026-11-01T10:00Z
America/Los_Angeles 2027-03-14T03:00 ok 2027-03-14T10:00Z
America/Los_Angeles 2027-11-07T02:00 ok 2027-11-07T10:00Z
America/Boise 2026-03-08T01:59 ok 2026-03-08T08:59Z
America/Boise 2026-03-08T02:30 gap 2026-03-08T09:30Z
America/Boise 2026-03-08T03:00 ok 2026-03-08T09:00Z
America/Boise 2026-10-31T07:00 ok 2026-10-31T13:00Z
America/Boise 2026-11-01T01:30 fold 2026-11-01T07:30Z
America/Boise 2026-11-01T07:00 ok 2026-11-01T14:00Z
America/Boise 2027-03-14T03:00 ok 2027-03-14T09:00Z
America/Boise 2027-11-07T01:30 fold 2027-11-07T07:30Z
America/Denver 2026-03-08T03:00 ok 2026-03-08T09:00Z
America/Denver 2026-06-15T07:00 ok 2026-06-15T13:00Z
America/Denver 2026-11-01T02:00 ok 2026-11-01T09:00Z
America/Denver 2027-03-14T02:15 gap 2027-03-14T09:15Z
America/Phoenix 2026-03-08T02:30 ok 2026-03-08T09:30Z
America/Phoenix 2026-06-15T07:00 ok 2026-06-15T14:00Z
America/Phoenix 2026-11-01T01:30 ok 2026-11-01T08:30Z
Europe/Dublin 2026-03-29T00:59 ok 2026-03-29T00:59Z
Europe/Dublin 2026-03-29T01:30 gap 2026-03-29T01:30Z
Europe/Dublin 2026-03-29T02:00 ok 2026-03-29T01:00Z
Europe/Dublin 2026-10-25T01:30 fold 2026-10-25T00:30Z
Europe/Dublin 2026-10-25T02:00 ok 2026-10-25T02:00Z
Europe/Dublin 2027-03-28T02:30 ok 2027-03-28T01:30Z
Europe/Dublin 2027-10-31T01:30 fold 2027-10-31T00:30Z
"""
CASES = [tuple(row.split()) for row in ROWS.split("\n") if row]


def _entry(number: int, time_zone: str, local: str) -> object:
    start = datetime.fromisoformat(local)
    # Long enough that the end is never inside the same clock change.
    hours = Hours(start, start + timedelta(hours=5), time_zone)
    return replace(BALSAMROOT, uid=f"row-{number:02d}", when=hours)


ENTRIES = [_entry(n, zone, local) for n, (zone, local, _, _) in enumerate(CASES)]
WANTED = {f"row-{n:02d}": utc for n, (_, _, _, utc) in enumerate(CASES)}
FEED = feed("Clock changes", [prepared(e) for e in ENTRIES])  # type: ignore[arg-type]


def test_the_table_has_its_thirty_rows() -> None:
    assert len(CASES) == 30


@pytest.mark.parametrize(("time_zone", "local", "kind", "utc"), CASES)
def test_a_start_is_the_utc_of_the_published_rule(
    time_zone: str, local: str, kind: str, utc: str
) -> None:
    start = datetime.fromisoformat(local)
    hours = Hours(start, start + timedelta(hours=5), time_zone)
    assert f"{hours.starts_at:%Y-%m-%dT%H:%MZ}" == utc
    assert is_odd(start, time_zone) is (kind != "ok")


def test_two_python_parsers_read_every_row_right() -> None:
    for parser in (by_icalendar, by_vobject):
        assert {e["uid"]: e["start"] for e in parser(FEED)} == WANTED, parser.__name__


@pytest.mark.skipif(
    not (NODE and NODE_MODULES.exists()), reason="node or tests/node_modules is missing"
)
@pytest.mark.parametrize("parser", ["ical.js", "node-ical"])
def test_two_javascript_parsers_read_every_row_right(parser: str) -> None:
    assert {e["uid"]: e["start"] for e in by_node(FEED, parser)} == WANTED


def test_the_checker_finds_nothing_wrong() -> None:
    assert check_feed(FEED) == []


def test_times_in_a_gap_or_a_repeated_hour_are_written_in_utc() -> None:
    odd = [n for n, (_, _, kind, _) in enumerate(CASES) if kind != "ok"]
    for number in odd:
        content = prepared(ENTRIES[number]).content  # type: ignore[arg-type]
        assert b"DTSTART:2" in content
        assert b"DTSTART;TZID" not in content
