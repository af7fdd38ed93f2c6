"""Feeds: reproducible bytes that two independent parsers read alike."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.ical.check import check_feed
from roster.ical.entries import Entry, Hours, Window, vevent
from roster.ical.feeds import feed, prepared
from roster.ical.lines import clean, line
from tests.ical.samples import (
    BALSAMROOT,
    CALLED_OFF,
    EXPECTED,
    HOSTILE,
    MORNING,
    NODE,
    NODE_MODULES,
    by_icalendar,
    by_node,
    by_vobject,
    local,
)

ALL = (BALSAMROOT, EXPECTED, CALLED_OFF)
node_only = pytest.mark.skipif(
    not (NODE and NODE_MODULES.exists()), reason="node or tests/node_modules is missing"
)


def made(*entries: Entry) -> bytes:
    return feed("Days of Bea Ashdown", [prepared(e) for e in entries])


def test_a_fixed_event_is_confirmed_from_hour_to_hour_and_an_expected_one_a_span_of_days() -> None:
    fixed, expected, off = by_icalendar(made(*ALL))
    assert (fixed["start"], fixed["end"]) == ("2026-06-20T13:00Z", "2026-06-20T18:30Z")
    # the window 1 to 10 July ends, exclusively, on the 11th (RFC 5545 section 3.6.1)
    assert (expected["start"], expected["end"]) == ("2026-07-01", "2026-07-11")
    assert b"STATUS:CONFIRMED" in vevent(BALSAMROOT)
    assert b"STATUS:TENTATIVE" in vevent(EXPECTED)
    assert b"STATUS:CANCELLED" in vevent(CALLED_OFF)
    assert off["start"] == "2026-06-20T13:00Z"


def test_only_a_fixed_event_blocks_the_day_and_rings() -> None:
    assert b"TRANSP:OPAQUE" in vevent(BALSAMROOT)
    assert b"TRIGGER:-P1D" in vevent(BALSAMROOT)
    for entry in (EXPECTED, CALLED_OFF):
        assert b"TRANSP:TRANSPARENT" in vevent(entry)
        assert b"VALARM" not in vevent(entry)


def test_the_checker_finds_nothing_wrong_with_a_feed() -> None:
    assert check_feed(made(*ALL)) == []


def test_an_empty_feed_is_whole() -> None:
    assert check_feed(made()) == []
    assert by_icalendar(made()) == []


def test_the_same_entries_give_the_same_bytes_and_one_change_touches_one_event_only() -> None:
    before = made(*ALL)
    assert made(*ALL) == before
    moved = replace(EXPECTED, when=Window(date(2026, 7, 2), date(2026, 7, 10)), sequence=3)
    after = made(BALSAMROOT, moved, CALLED_OFF)
    assert after.replace(vevent(moved), vevent(EXPECTED)) == before


def test_each_time_zone_stands_once_and_only_where_it_is_used() -> None:
    denver = replace(BALSAMROOT, uid="another", when=replace(MORNING, time_zone="America/Denver"))
    content = made(BALSAMROOT, denver, CALLED_OFF)
    assert content.count(b"BEGIN:VTIMEZONE") == 2
    assert made(EXPECTED).count(b"BEGIN:VTIMEZONE") == 0


def test_a_feed_names_no_person_and_repeats_no_address() -> None:
    content = made(*ALL)
    for word in (b"ORGANIZER", b"ATTENDEE", b"METHOD", b"SOURCE"):
        assert word not in content


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_comes_back_unchanged_but_for_control_characters(text: str) -> None:
    entry = replace(BALSAMROOT, summary=text, description=text, location=text)
    content = feed(text, [prepared(entry)])
    assert check_feed(content) == []
    for parser in (by_icalendar, by_vobject):
        (read,) = parser(content)
        assert read["summary"] == clean(text), parser.__name__
        assert read["location"] == clean(text), parser.__name__
        assert read["description"] == clean(text, lines=True), parser.__name__


@node_only
@pytest.mark.parametrize("parser", ["ical.js", "node-ical"])
def test_javascript_parsers_read_what_python_reads(parser: str) -> None:
    content = made(*ALL)
    assert by_node(content, parser) == by_icalendar(content)


def test_lines_fold_at_75_octets_and_never_inside_a_character_or_an_escape() -> None:
    for text in ("é" * 200, "\\n" * 200, "🌾" * 100, "a" + "\\," * 100):
        folded = line("SUMMARY", text)
        parts = folded.removesuffix(b"\r\n").split(b"\r\n")
        assert all(len(part) <= 75 for part in parts)
        assert all(part.decode() for part in parts)  # each part is whole UTF-8
        assert not any(part.endswith(b"\\") for part in parts)
        assert folded.replace(b"\r\n ", b"") == f"SUMMARY:{text}\r\n".encode()


def test_a_line_of_exactly_75_octets_is_not_folded_and_one_of_76_is() -> None:
    assert line("X", "y" * 73).count(b"\r\n") == 1
    assert line("X", "y" * 74).count(b"\r\n") == 2


def test_a_stamp_without_offset_is_refused() -> None:
    with pytest.raises(ValueError, match="offset"):
        vevent(replace(BALSAMROOT, stamp=local("2026-01-01T00:00")))


def test_an_end_before_the_start_is_refused() -> None:
    with pytest.raises(ValueError, match="not after"):
        Hours(MORNING.local_start, MORNING.local_start, "America/Boise")
    with pytest.raises(ValueError, match="before"):
        Window(date(2026, 7, 2), date(2026, 7, 1))
    with pytest.raises(ValueError, match="offset"):
        Hours(datetime(2026, 1, 1, tzinfo=UTC), datetime(2026, 1, 2, tzinfo=UTC), "America/Boise")


def test_a_night_event_through_the_spring_change_lasts_an_hour_less_than_the_clock_says() -> None:
    night = Hours(local("2026-03-07T22:00"), local("2026-03-08T05:00"), "America/Boise")
    assert night.ends_at - night.starts_at == timedelta(hours=6)
