"""Values as they are typed on the command line."""

from __future__ import annotations

from datetime import date

from roster.domain.errors import BadInput
from roster.domain.person_entry import day_told
from roster.domain.reasons import Reason


def a_day(field: str, told: str) -> date:
    """A day as 2027-06-20. BadInput for anything else."""
    day = day_told(field, told)
    if day is None:
        raise BadInput(field, told, Reason("bad_day", {"value": told}))
    return day


def a_place(told: str) -> tuple[float, float]:
    """Latitude and longitude as 46.73,-117.18. BadInput for anything else."""
    parts = told.split(",")
    try:
        lat, lon = (float(part) for part in parts)
    except ValueError:
        raise BadInput("home", told, Reason("half_a_place")) from None
    return lat, lon
