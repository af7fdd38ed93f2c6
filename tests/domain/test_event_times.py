"""Local time and zone of the meeting point into instants.

Outside source of the clock changes: the IANA time zone database (United States since 2007: second
Sunday of March and first Sunday of November, 02:00 local).
"""

from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.errors import BadInput
from roster.domain.event_times import (
    expected_back_at,
    overdue_clock_at,
    span_to_utc,
    to_utc,
    window_to_utc,
    zone_named,
)

PACIFIC = "America/Los_Angeles"
local_time = datetime.fromisoformat


def test_a_summer_morning_is_seven_hours_behind_utc():
    assert to_utc(local_time("2027-06-20 07:00"), PACIFIC) == datetime(
        2027, 6, 20, 14, 0, tzinfo=UTC
    )


@pytest.mark.parametrize(
    ("local", "exists"),
    [("01:59", True), ("02:00", False), ("02:59", False), ("03:00", True)],
)
def test_a_time_that_the_clock_skips_is_refused_with_the_next(local, exists):
    typed = local_time(f"2027-03-14 {local}")
    if exists:
        assert to_utc(typed, PACIFIC).tzinfo is UTC
        return
    with pytest.raises(BadInput) as caught:
        to_utc(typed, PACIFIC)
    assert caught.value.reason.code == "local_time_skipped"
    assert caught.value.reason.facts["next"] == f"2027-03-14 03:{local[3:]}"


def test_a_time_that_comes_twice_means_the_first():
    # RFC 5545, 3.3.5
    assert to_utc(local_time("2027-11-07 01:30"), PACIFIC) == datetime(
        2027, 11, 7, 8, 30, tzinfo=UTC
    )


def test_a_time_with_a_zone_of_its_own_is_refused():
    with pytest.raises(BadInput):
        to_utc(datetime(2027, 6, 20, 7, tzinfo=UTC), PACIFIC)


@pytest.mark.parametrize("name", ["Pacific/Nowhere", "", "../etc/passwd"])
def test_an_unknown_zone_is_refused_by_its_name(name):
    with pytest.raises(BadInput) as caught:
        zone_named(name)
    assert (caught.value.field, caught.value.value) == ("time_zone", name)


def test_the_end_comes_after_the_start_even_over_a_repeated_hour():
    with pytest.raises(BadInput) as caught:
        span_to_utc(local_time("2027-06-20 07:00"), local_time("2027-06-20 07:00"), PACIFIC)
    assert caught.value.field == "local_end"
    start, end = span_to_utc(
        local_time("2027-11-07 00:30"), local_time("2027-11-07 02:30"), PACIFIC
    )
    assert end - start == timedelta(hours=3)


def test_an_event_lasts_two_weeks_at_most_and_a_window_longer():
    start = local_time("2027-06-01 07:00")
    assert span_to_utc(start, start + timedelta(days=14), PACIFIC)
    with pytest.raises(BadInput) as caught:
        span_to_utc(start, start + timedelta(days=14, minutes=1), PACIFIC)
    assert caught.value.reason.code == "event_too_long"
    first, last = window_to_utc(start, start + timedelta(days=40), PACIFIC)
    assert last - first == timedelta(days=40)
    with pytest.raises(BadInput):
        window_to_utc(start, start, PACIFIC)


def test_the_clock_for_a_late_crew_waits_for_the_first_signal():
    ends = datetime(2027, 6, 20, 19, 30, tzinfo=UTC)
    back = expected_back_at(ends, 30)
    assert back == ends + timedelta(minutes=30)
    assert overdue_clock_at(back, 20) == ends + timedelta(minutes=50)
    assert overdue_clock_at(back, None) == back
