"""Numbers that must lie in a range, refused with field, value and remedy where they do not."""

from __future__ import annotations

from math import isfinite

from roster.domain.errors import BadInput
from roster.domain.reasons import Fact, Reason


def within(field: str, value: float, least: float, most: float) -> float:
    """The value itself if it lies from `least` to `most`, both included; else BadInput."""
    if not isfinite(value) or not least <= value <= most:
        facts: dict[str, Fact] = {"value": str(value), "least": least, "most": most}
        raise BadInput(field, value, Reason("number_out_of_range", facts))
    return value


def at_least(field: str, value: float, least: float) -> float:
    """The value itself if it is finite and not below `least`; else BadInput."""
    if not isfinite(value) or value < least:
        facts: dict[str, Fact] = {"value": str(value), "least": least}
        raise BadInput(field, value, Reason("number_too_small", facts))
    return value
