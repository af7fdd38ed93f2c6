"""VTIMEZONE against the published rules and against zoneinfo."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest

from roster.ical.timezones import LAST_YEAR, changes, vtimezone

BOISE = b"""BEGIN:VTIMEZONE\r
TZID:America/Boise\r
BEGIN:DAYLIGHT\r
DTSTART:20070311T020000\r
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU\r
TZNAME:MDT\r
TZOFFSETFROM:-0700\r
TZOFFSETTO:-0600\r
END:DAYLIGHT\r
BEGIN:STANDARD\r
DTSTART:20071104T020000\r
RRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU\r
TZNAME:MST\r
TZOFFSETFROM:-0600\r
TZOFFSETTO:-0700\r
END:STANDARD\r
END:VTIMEZONE\r
"""


def test_the_zone_of_boise_is_the_rule_of_15_usc_260a_with_the_onset_before_the_change() -> None:
    # Second Sunday of March to first Sunday of November at 02:00 local time; the onset is read
    # with TZOFFSETFROM, RFC 5545 section 3.6.5.
    assert vtimezone("America/Boise") == BOISE


def test_phoenix_has_one_standard_observance_and_no_rule() -> None:
    text = vtimezone("America/Phoenix").decode()
    assert text.count("BEGIN:STANDARD") == 1
    assert "DAYLIGHT" not in text
    assert "RRULE" not in text


def test_irish_winter_is_standard_although_the_zone_data_count_it_as_negative_saving() -> None:
    found = icalendar.Calendar.from_ical(
        b"BEGIN:VCALENDAR\r\n" + vtimezone("Europe/Dublin") + b"END:VCALENDAR\r\n"
    )
    names = {part.name: str(part["TZNAME"]) for part in found.walk() if "TZNAME" in part}
    assert names == {"STANDARD": "GMT", "DAYLIGHT": "IST"}


@pytest.mark.parametrize(
    "time_zone",
    [
        "America/Los_Angeles",
        "America/Boise",
        "America/Denver",
        "America/Phoenix",
        "Europe/Dublin",
        "America/Vancouver",
        "America/Santiago",
        "Australia/Lord_Howe",
        "Africa/Casablanca",
        "Asia/Kathmandu",
    ],
)
def test_the_changes_found_give_zoneinfo_s_offset_on_every_day(time_zone: str) -> None:
    zone, found = ZoneInfo(time_zone), changes(time_zone)
    at, offset = datetime(2007, 1, 1, tzinfo=UTC), None
    offset = at.astimezone(zone).utcoffset()
    remaining = list(found)
    while at.year < LAST_YEAR:
        while remaining and remaining[0].at <= at:
            offset = remaining.pop(0).after
        assert at.astimezone(zone).utcoffset() == offset, at
        at += timedelta(hours=24)


def test_a_zone_without_any_change_still_says_its_offset() -> None:
    assert b"TZOFFSETTO:+0545" in vtimezone("Asia/Kathmandu")
