"""Calendar arithmetic of validity and age; every function takes the days, none asks a clock."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeVar

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason

Day = TypeVar("Day", bound=date)

_DURATION = re.compile(
    r"P(?=[\dT])(?:(?P<years>\d+)Y)?(?:(?P<months>\d+)M)?(?:(?P<weeks>\d+)W)?(?:(?P<days>\d+)D)?"
    r"(?:T(?=\d)(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+(?:[.,]\d+)?)S)?)?",
    re.ASCII,
)


@dataclass(frozen=True)
class Duration:
    """An ISO 8601 duration: whole months, and the exact time that is added after them."""

    months: int
    exact: timedelta


def parse_duration(text: str) -> Duration:
    """The duration that an ISO 8601 text such as "P12M", "P1Y2M10D" or "P4W" names.

    Fractions are read in seconds only; a sign is not read. BadInput for anything else.
    """
    found = _DURATION.fullmatch(text)
    if found is None:
        raise BadInput("validity", text, Reason("bad_duration", {"value": text}))
    part = {
        name: float((value or "0").replace(",", ".")) for name, value in found.groupdict().items()
    }
    try:
        exact = timedelta(
            weeks=part["weeks"],
            days=part["days"],
            hours=part["hours"],
            minutes=part["minutes"],
            seconds=part["seconds"],
        )
    except OverflowError:
        raise BadInput("validity", text, Reason("bad_duration", {"value": text})) from None
    return Duration(int(part["years"]) * 12 + int(part["months"]), exact)


def add_months(day: Day, months: int) -> Day:
    """The same day of the month so many months on, or the last of that month where it is shorter.

    So 31 January + 1 month = 28 or 29 February, and 29 February + 12 months = 28 February.
    Also before (negative months), and for instants, whose time of day stays.
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if not 1 <= year <= 9999:
        raise BadInput("months", months, Reason("day_out_of_calendar", {"day": day}))
    return day.replace(year=year, month=month + 1, day=min(day.day, monthrange(year, month + 1)[1]))


def add_duration(day: Day, duration: str) -> Day:
    """The day so long after: years and months first (clamped), then weeks, days and time.

    The order is that of ISO 8601 arithmetic as in W3C XML Schema part 2, appendix E.
    A time in the duration needs an instant to be added to, else BadInput.
    """
    span = parse_duration(duration)
    if not isinstance(day, datetime) and span.exact % timedelta(days=1):
        raise BadInput("validity", duration, Reason("duration_has_time", {"value": duration}))
    moved = add_months(day, span.months)
    try:
        return moved + span.exact
    except OverflowError:
        raise BadInput("validity", duration, Reason("day_out_of_calendar", {"day": day})) from None


def last_valid_day(first_day: date, duration: str) -> date:
    """The last day on which something that holds from `first_day` for `duration` still holds.

    The day before the anniversary, inclusive: what was done on 15 June 2024 and holds P12M is
    good through 14 June 2025. This convention is our own; others call the anniversary itself or
    the end of its month the last day. BadInput for a duration shorter than a day.
    """
    day = add_duration(first_day, duration) - timedelta(days=1)
    if day < first_day:
        raise BadInput("validity", duration, Reason("bad_duration", {"value": duration}))
    return day


def age_on(born: date, day: date) -> int:
    """Whole years of age on that day; who was born on 29 February ages on 1 March.

    The cautious reading: in common years a minor stays a minor through 28 February.
    BadInput for a day before the birth.
    """
    if day < born:
        raise BadInput("day", day, Reason("day_before_birth", {"day": day}))
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))


def reaches_age_on(born: date, age: int) -> date:
    """The first day on which somebody born on `born` is that old, by the same rule."""
    year = born.year + age
    if (born.month, born.day) == (2, 29) and monthrange(year, 2)[1] == 28:
        return date(year, 3, 1)
    return born.replace(year=year)
