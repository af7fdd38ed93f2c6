"""Collection numbers, and coordinates as field forms write them."""

from __future__ import annotations

import re

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least, within
from roster.domain.reasons import Reason

_TEAM = re.compile(r"[A-Z]{2}\d{3}")
_NUMBER = re.compile(r"([A-Z]{2}\d{3})-([1-9]\d{0,5})")
_SIGNS = {"N": 1, "S": -1, "E": 1, "W": -1}


def collection_number(team: str, sequence: int) -> str:
    """The number of a team's collection: team code, hyphen, running number ("OR020-26").

    BLM native-seed technical protocol, section 11a. The running number goes on over the years.
    """
    if not _TEAM.fullmatch(team):
        raise BadInput("team", team, Reason("bad_team_code", {"value": team}))
    return f"{team}-{int(within('sequence', sequence, 1, 999_999))}"


def parse_collection_number(text: str) -> tuple[str, int]:
    """Team code and running number of a typed collection number; case and spaces do not matter."""
    found = _NUMBER.fullmatch(text.replace(" ", "").upper())
    if found is None:
        raise BadInput("collection", text, Reason("bad_collection_number", {"value": text}))
    return found[1], int(found[2])


def next_number(used: int | None) -> int:
    """The running number after the team's last one; a new year does not start again at 1."""
    return 1 if used is None else int(at_least("sequence", used, 0)) + 1


def dms_to_decimal(degrees: int, minutes: int, seconds: float, side: str) -> float:
    """Decimal degrees from degrees, minutes and seconds; S and W are negative; 6 places."""
    sign = _SIGNS.get(side.upper())
    if sign is None:
        raise BadInput("side", side, Reason("bad_choice", {"value": side}))
    most = 90 if side.upper() in "NS" else 180
    within("degrees", degrees, 0, most)
    within("minutes", minutes, 0, 59)
    if within("seconds", seconds, 0, 60) == 60:
        within("seconds", seconds, 0, 59.999999)
    decimal = degrees + minutes / 60 + seconds / 3600
    return sign * round(within("degrees", decimal, 0, most), 6)


def decimal_to_dms(decimal: float, axis: str) -> tuple[int, int, float, str]:
    """Degrees, minutes, seconds (2 places) and side of decimal degrees; axis is lat or lon."""
    sides = {"lat": "NS", "lon": "EW"}.get(axis)
    if sides is None:
        raise BadInput("axis", axis, Reason("bad_choice", {"value": axis}))
    most = 90 if axis == "lat" else 180
    hundredths = round(abs(within(axis, decimal, -most, most)) * 360_000)
    minutes, hundredths = divmod(hundredths, 6000)
    return minutes // 60, minutes % 60, hundredths / 100, sides[0 if decimal >= 0 else 1]
