"""Sunrise and sunset. Source of the rows: tests/checks/sun.csv (skyfield with JPL DE421)."""

import csv
from datetime import date, datetime, time
from pathlib import Path

import pytest

from roster.domain.sun import sun_times

ROWS = list(csv.DictReader(Path("tests/checks/sun.csv").read_text("utf-8").splitlines()))
COLUMNS = {
    "dawn": "civil_dawn_local",
    "sunrise": "sunrise_local",
    "sunset": "sunset_local",
    "dusk": "civil_dusk_local",
}


def minutes_apart(at: datetime, clock: str) -> float:
    wanted = datetime.combine(at.date(), time.fromisoformat(clock), at.tzinfo)
    apart = abs((at - wanted).total_seconds()) / 60
    return min(apart, 24 * 60 - apart)  # just after midnight belongs to the evening before


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['place']} {r['date']}" for r in ROWS])
def test_the_sun_agrees_with_the_ephemeris_to_the_stated_minutes(row):
    found = sun_times(
        date.fromisoformat(row["date"]), float(row["lat_deg"]), float(row["lon_deg"]), row["tz"]
    )
    for name, column in COLUMNS.items():
        at = getattr(found, name)
        if row[column] == "none":
            assert at is None, name
        else:
            assert minutes_apart(at, row[column]) <= float(row["tolerance_min"]), name


def test_sunset_comes_after_sunrise_on_the_night_that_the_clocks_change():
    found = sun_times(date(2027, 11, 7), 46.9, -117.05, "America/Los_Angeles")
    assert found.dawn < found.sunrise < found.sunset < found.dusk
