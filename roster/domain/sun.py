"""Dawn, sunrise, sunset and dusk of a local day, over a flat horizon at sea level.

Sun: Meeus, Astronomical Algorithms, 2nd edition 1998, chapter 25, low accuracy (0.01 degree).
Sunrise and sunset with the centre at -0.8333 degrees (refraction 34', radius 16'), civil twilight
at -6 degrees (US Naval Observatory definitions). Hills and canyons shift what one sees by tens of
minutes: margins of safety must not lean on these times.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import lru_cache
from itertools import pairwise
from math import asin, atan2, cos, degrees, radians, sin
from zoneinfo import ZoneInfo

from roster.domain.ranges import within

RISE_DEGREES = -0.8333
CIVIL_DEGREES = -6.0
_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DELTA_T_SECONDS = 70.0
"""Terrestrial minus universal time; 64 s in 2000, about 70 s now: its change does not show."""


@dataclass(frozen=True)
class SunTimes:
    """Aware local times of one day; None where the sun does not cross that height that day."""

    dawn: datetime | None
    sunrise: datetime | None
    sunset: datetime | None
    dusk: datetime | None


@lru_cache(maxsize=256)  # a crew check asks again and again for the same day and place
def sun_times(day: date, latitude: float, longitude: float, zone: str | tzinfo) -> SunTimes:
    """The first dawn, sunrise, sunset and dusk within the local day, from midnight to midnight.

    Degrees, north and east positive. Good to about half a minute. Far north a summer sunset may
    fall after midnight and so belong to the next day, and any of the four may be None.
    """
    place = within("latitude", latitude, -90, 90), within("longitude", longitude, -360, 360)
    here = ZoneInfo(zone) if isinstance(zone, str) else zone
    start = _midnight(day, here)
    end = _midnight(day + timedelta(days=1), here)
    bounds = [start, *_turning_points(start, end, place[1]), end]

    def first(height: float, rising: bool) -> datetime | None:
        for before, after in pairwise(bounds):
            low, high = (before, after) if rising else (after, before)
            if altitude(low, *place) < height <= altitude(high, *place):
                found = _crossing(before, after, place, height)
                return found.astimezone(here).replace(microsecond=0)
        return None

    return SunTimes(
        first(CIVIL_DEGREES, True),
        first(RISE_DEGREES, True),
        first(RISE_DEGREES, False),
        first(CIVIL_DEGREES, False),
    )


def altitude(at: datetime, latitude: float, longitude: float) -> float:
    """Degrees of the sun's centre above the horizon, without refraction."""
    declination = _sun(at)[1]
    up, hour_angle = radians(latitude), radians(_hour_angle(at, longitude))
    return degrees(asin(sin(up) * sin(declination) + cos(up) * cos(declination) * cos(hour_angle)))


def _midnight(day: date, here: tzinfo) -> datetime:
    return datetime.combine(day, time(), here).astimezone(UTC)


def _turning_points(start: datetime, end: datetime, longitude: float) -> Iterator[datetime]:
    """Noons and midnights of the sun; between two of them its height only rises or only falls."""
    wanted = -(_hour_angle(start, longitude) % 180)
    for half_days in range(1, 4):
        at = start + timedelta(minutes=4 * (wanted + 180 * half_days))
        for _round in range(3):
            off = (_hour_angle(at, longitude) + 90) % 180 - 90
            at -= timedelta(minutes=4 * off)
        if start < at < end:
            yield at


def _crossing(
    before: datetime, after: datetime, place: tuple[float, float], height: float
) -> datetime:
    """The instant between the two at which the sun passes the height, to the second."""
    above = altitude(before, *place) >= height
    while after - before > timedelta(seconds=0.5):
        middle = before + (after - before) / 2
        if (altitude(middle, *place) >= height) == above:
            before = middle
        else:
            after = middle
    return after


def _hour_angle(at: datetime, longitude: float) -> float:
    """Degrees since the sun's noon at that longitude, from 0 up to 360."""
    days = (at - _J2000) / timedelta(days=1)
    sidereal = 280.46061837 + 360.98564736629 * days + longitude
    return (sidereal - degrees(_sun(at)[0])) % 360


def _sun(at: datetime) -> tuple[float, float]:
    """Apparent right ascension and declination of the sun, in radians (Meeus, chapter 25)."""
    t = ((at - _J2000).total_seconds() + _DELTA_T_SECONDS) / 86400 / 36525
    mean_longitude = 280.46646 + 36000.76983 * t + 0.0003032 * t * t
    anomaly = radians(357.52911 + 35999.05029 * t - 0.0001537 * t * t)
    centre = (
        (1.914602 - 0.004817 * t) * sin(anomaly)
        + (0.019993 - 0.000101 * t) * sin(2 * anomaly)
        + 0.000289 * sin(3 * anomaly)
    )
    node = radians(125.04 - 1934.136 * t)
    ecliptic = radians(mean_longitude + centre - 0.00569 - 0.00478 * sin(node))
    tilt = radians(23.4392911 - 0.0130042 * t + 0.00256 * cos(node))
    return atan2(cos(tilt) * sin(ecliptic), cos(ecliptic)), asin(sin(tilt) * sin(ecliptic))
