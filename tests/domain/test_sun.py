"""Sun times against tests/checks/sun.csv (US Naval Observatory definitions, JPL DE421)."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from roster.domain.errors import BadInput
from roster.domain.sun import sun_times
from tests.support.checks import rows

COLUMNS = {
    "dawn": "civil_dawn_local",
    "sunrise": "sunrise_local",
    "sunset": "sunset_local",
    "dusk": "civil_dusk_local",
}


@pytest.mark.parametrize("row", rows("sun"))
def test_the_times_of_the_local_day_are_those_of_the_table(row):
    day, zone = date.fromisoformat(row["date"]), ZoneInfo(row["tz"])
    times = sun_times(day, float(row["lat_deg"]), float(row["lon_deg"]), row["tz"])
    for name, column in COLUMNS.items():
        found = getattr(times, name)
        if row[column] == "none":
            assert found is None, name
            continue
        printed = datetime.fromisoformat(f"{row['date']}T{row[column]}").replace(tzinfo=zone)
        assert abs(found - printed) <= timedelta(minutes=1), name  # half of it is the rounding
        assert found.date() == day
        assert found.utcoffset() == printed.utcoffset()


def test_a_sunset_after_midnight_belongs_to_the_next_day():
    """Fairbanks, 21 June: the table prints 00:48, the sunset of the evening before."""
    times = sun_times(date(2026, 6, 21), 64.84, -147.72, "America/Anchorage")
    assert times.sunset < times.sunrise
    assert (times.dawn, times.dusk) == (None, None)


def test_the_sun_neither_rises_nor_sets_in_the_northern_summer():
    times = sun_times(date(2026, 6, 21), 71.29, -156.79, "America/Anchorage")
    assert (times.dawn, times.sunrise, times.sunset, times.dusk) == (None,) * 4


def test_a_zone_may_be_handed_in_as_such():
    day, zone = date(2026, 7, 4), ZoneInfo("America/Boise")
    assert sun_times(day, 44.03, -116.96, zone) == sun_times(day, 44.03, -116.96, "America/Boise")


def test_a_latitude_beyond_the_pole_is_refused():
    with pytest.raises(BadInput):
        sun_times(date(2026, 7, 4), 91, 0, "UTC")
