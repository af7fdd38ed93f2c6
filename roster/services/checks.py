"""Plain checks of what was typed: a text, a number, a place on earth. Each names its field."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason


def text(field: str, value: str, *, most: int = 200, needed: bool = True) -> str:
    """The text without outer blanks; BadInput if it is missing, too long or unprintable."""
    told = unicodedata.normalize("NFC", value).strip()
    if needed and not told:
        raise BadInput(field, value, Reason("missing_value"))
    if len(told) > most:
        raise BadInput(field, value, Reason("text_too_long", {"most": most}))
    if any(unicodedata.category(sign) == "Cc" and sign not in "\n\r\t" for sign in told):
        raise BadInput(field, value, Reason("control_characters"))
    return told


def whole(field: str, value: int, least: int, most: int) -> int:
    """A whole number from least to most, both allowed."""
    if not least <= value <= most:
        facts = {"value": value, "least": least, "most": most}
        raise BadInput(field, value, Reason("number_out_of_range", facts))
    return value


def share(field: str, value: float | None) -> float | None:
    """A share from 0 to 1, or None."""
    if value is not None and not 0 <= value <= 1:
        facts = {"value": value, "least": 0, "most": 1}
        raise BadInput(field, value, Reason("number_out_of_range", facts))
    return value


def latitude(value: float, field: str = "lat") -> float:
    """Degrees north, from -90 to 90."""
    return _degrees(field, value, 90)


def longitude(value: float, field: str = "lon") -> float:
    """Degrees east, from -180 to 180; west is negative."""
    return _degrees(field, value, 180)


def _degrees(field: str, value: float, most: int) -> float:
    if not -most <= value <= most:  # also refuses nan
        facts = {"value": value, "least": -most, "most": most}
        raise BadInput(field, value, Reason("number_out_of_range", facts))
    return value


def one_of(field: str, value: str, allowed: Collection[str]) -> str:
    """A code word that is among those allowed."""
    if value not in allowed:
        raise BadInput(field, value, Reason("bad_choice", {"value": value}))
    return value
