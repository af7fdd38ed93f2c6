"""Volunteer hours as money: whole minutes times a rate that has a basis of its own.

The rate is the one of similar work, per role, with its source (2 CFR 200.306(e)); the national
value of an hour is for stories, not the rule's rate.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least
from roster.domain.reasons import Reason

CENT = Decimal("0.01")
Rate = Decimal | str | int | float


def in_kind_value(minutes: int, rate: Rate) -> Decimal:
    """The value of minutes at a rate per hour, in the rate's money, to the cent, half up."""
    return in_kind_total([(minutes, rate)])


def in_kind_total(lines: Iterable[tuple[int, Rate]]) -> Decimal:
    """The value of several (minutes, rate per hour), rounded once, at the end.

    It can differ by cents from the sum of lines that were each rounded.
    """
    whole = sum((_minutes(minutes) * _rate(rate) for minutes, rate in lines), Decimal(0))
    return (whole / 60).quantize(CENT, rounding=ROUND_HALF_UP)


def _minutes(minutes: int) -> int:
    if minutes != int(minutes):
        raise BadInput("minutes", minutes, Reason("bad_number", {"value": str(minutes)}))
    at_least("minutes", minutes, 0)
    return int(minutes)


def _rate(rate: Rate) -> Decimal:
    try:
        amount = Decimal(str(rate))
    except InvalidOperation:
        raise BadInput("rate", rate, Reason("bad_number", {"value": str(rate)})) from None
    at_least("rate", float(amount), 0)
    return amount
