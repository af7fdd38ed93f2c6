"""Heat, cold and smoke: the published index formulas, their classes, and work and rest in heat.

These are aids to judgement. A class never clears anyone for work: local codes, agency rules and
people trained to decide come first.
"""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from math import ceil, floor, sqrt

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least, within
from roster.domain.reasons import Reason

COLDEST_F, HOTTEST_F = -130.0, 140.0
"""Air temperatures beyond these have not been measured on Earth."""

_HEAT_CLASSES = ((125, "extreme_danger"), (103, "danger"), (90, "extreme_caution"), (80, "caution"))
_OSHA_LEVELS = ((91, "lower"), (103, "moderate"))
_AIR_CLASSES = (
    (50, "good"),
    (100, "moderate"),
    (150, "unhealthy_for_sensitive_groups"),
    (200, "unhealthy"),
    (300, "very_unhealthy"),
)
_PM25_STEPS = (
    ("0.0", "9.0", 0, 50),
    ("9.1", "35.4", 51, 100),
    ("35.5", "55.4", 101, 150),
    ("55.5", "125.4", 151, 200),
    ("125.5", "225.4", 201, 300),
    ("225.5", "325.4", 301, 500),
)
# work minutes an hour from the first degree at which the table prints them, degree by degree
_WORK_FROM: dict[str, tuple[int, tuple[int, ...]]] = {
    "light": (106, (45, 40, 35, 30, 15)),
    "moderate": (100, (45, 40, 35, 30, 30, 25, 20, 15)),
    "heavy": (95, (45, 45, 40, 35, 35, 30, 30, 25, 20, 20, 15)),
}


def displayed(value: float) -> int:
    """The whole number that is shown, a half upward; classes are taken from it."""
    return floor(value + 0.5)


def heat_index_f(air_f: float, humidity_pct: float) -> float:
    """The heat index in the shade, in degrees Fahrenheit, unrounded.

    NWS Weather Prediction Center, the heat index equation (Rothfusz, NWS SR 90-23, 1990) with
    both adjustments: the simple form; where its mean with the air temperature reaches 80, the
    regression. Full sun adds up to 15 degrees.
    """
    t, r = within("air_f", air_f, COLDEST_F, HOTTEST_F), within("humidity", humidity_pct, 0, 100)
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    if (simple + t) / 2 < 80:
        return simple
    index = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t * t
        - 5.481717e-2 * r * r
        + 1.22874e-3 * t * t * r
        + 8.5282e-4 * t * r * r
        - 1.99e-6 * t * t * r * r
    )
    if r < 13 and 80 <= t <= 112:
        index -= (13 - r) / 4 * sqrt((17 - abs(t - 95)) / 17)
    elif r > 85 and 80 <= t <= 87:
        index += (r - 85) / 10 * (87 - t) / 5
    return index


def heat_category(displayed_f: float) -> str:
    """The NWS class of a heat index: none, caution, extreme_caution, danger, extreme_danger.

    Take it from the whole number that is shown, so that a screen never says 90 with the class
    below; a value on a bound belongs to the hotter class.
    """
    at_least("heat_index", displayed_f, -1000)
    return next((name for least, name in _HEAT_CLASSES if displayed_f >= least), "none")


def osha_heat_level(displayed_f: float) -> str:
    """The level of OSHA's heat index guide (2012): lower, moderate, high, very_high_to_extreme.

    Lower below 91, moderate from 91, high from 103 through 115, above that the last.
    """
    at_least("heat_index", displayed_f, -1000)
    for below, name in _OSHA_LEVELS:
        if displayed_f < below:
            return name
    return "high" if displayed_f <= 115 else "very_high_to_extreme"


def wind_chill_f(air_f: float, wind_mph: float) -> float:
    """What the wind makes of the cold, in degrees Fahrenheit (NWS 2001), unrounded.

    Holds at 50 degrees or less and above 3 miles an hour; outside of that the air temperature.
    """
    t, v = within("air_f", air_f, COLDEST_F, HOTTEST_F), within("wind_mph", wind_mph, 0, 300)
    if t > 50 or v <= 3:
        return t
    slowed = float(v**0.16)
    return 35.74 + 0.6215 * t - 35.75 * slowed + 0.4275 * t * slowed


def aqi_from_pm25(micrograms_m3: float | Decimal) -> int:
    """The air quality index of fine particles, by the breakpoints in force since 6 May 2024.

    EPA-454/B-24-002, table 6 (89 FR 16202): truncated to 0.1 microgram a cubic metre, the line
    between two breakpoints, to the nearest whole number. Above 325.4 the last line goes on.
    """
    at_least("pm25", float(micrograms_m3), 0)
    amount = Decimal(str(micrograms_m3)).quantize(Decimal("0.1"), rounding=ROUND_DOWN)
    step = next((s for s in _PM25_STEPS if amount <= Decimal(s[1])), _PM25_STEPS[-1])
    low, high = Decimal(step[0]), Decimal(step[1])
    index = (step[3] - step[2]) * (amount - low) / (high - low) + step[2]
    return int(index.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def aqi_category(aqi: float) -> str:
    """The EPA class of an air quality index, from good to hazardous."""
    at_least("aqi", aqi, 0)
    return next((name for most, name in _AIR_CLASSES if aqi <= most), "hazardous")


def work_rest_minutes(adjusted_air_f: float, workload: str) -> tuple[int, int] | None:
    """Minutes of work and of rest in each hour of heat, or None where the table prints none.

    NIOSH 2016-106, work/rest schedules: for rested, acclimatised people under 40 in normal
    clothes at 30 % humidity. Parts of a degree count as the next whole one. None stands both for
    "normal" in milder air and for "caution" in hotter air: `work_rest_schedule` tells them apart.
    """
    schedule = work_rest_schedule(adjusted_air_f, workload)
    if "/" not in schedule:
        return None
    work, rest = schedule.split("/")
    return int(work), int(rest)


def work_rest_schedule(adjusted_air_f: float, workload: str) -> str:
    """What the NIOSH table prints: normal, minutes as "45/15", or caution (high risk: stop)."""
    if workload not in _WORK_FROM:
        raise BadInput("workload", workload, Reason("bad_choice", {"value": workload}))
    first, minutes = _WORK_FROM[workload]
    row = ceil(within("air_f", adjusted_air_f, COLDEST_F, 200)) - first
    if row < 0:
        return "normal"
    return f"{minutes[row]}/{60 - minutes[row]}" if row < len(minutes) else "caution"


def adjusted_air_f(air_f: float, sun: str, humidity_pct: float = 30) -> float:
    """Air temperature adjusted for sun and humidity, as the work/rest table wants it.

    `sun` is full (+13), part (+7) or none; humidity 10 to 60 % adds -8, -4, 0, 3, 6, 9 by steps of
    ten, the nearest step above counts (from memory of the NIOSH table's notes).
    """
    by_sun = {"full": 13, "part": 7, "none": 0}
    if sun not in by_sun:
        raise BadInput("sun", sun, Reason("bad_choice", {"value": sun}))
    step = min(6, max(1, ceil(within("humidity", humidity_pct, 0, 100) / 10)))
    return air_f + by_sun[sun] + (-8, -4, 0, 3, 6, 9)[step - 1]
