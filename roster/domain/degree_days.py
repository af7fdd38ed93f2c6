"""Warmth that a day adds, by four methods; a total means nothing without the method beside it."""

from __future__ import annotations

from collections.abc import Callable
from math import acos, isfinite, pi, sin

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason


def degree_days(
    tmax: float, tmin: float, base: float, upper: float | None = None, method: str = "average"
) -> float:
    """Degree-days of one day above `base`, in the degrees of its readings.

    average: mean of both readings less the base (readings lowered to `upper` where it is given).
    modified: both readings raised to the base and lowered to `upper` first ("86/50": Iowa State
    University, Agronomy 541). sine: the single sine of Baskerville and Emin 1969 (Ecology
    50:514-517); triangle: the single triangle; both with a horizontal cut-off at `upper`.
    """
    _check(tmax, tmin, base, upper)
    try:
        above = _METHODS[method]
    except KeyError:
        raise BadInput("method", method, Reason("bad_choice", {"value": method})) from None
    return above(tmax, tmin, base, upper)


def _check(tmax: float, tmin: float, base: float, upper: float | None) -> None:
    for field, value in (("tmax", tmax), ("tmin", tmin), ("base", base), ("upper", upper)):
        if value is not None and not isfinite(value):
            raise BadInput(field, value, Reason("bad_number", {"value": str(value)}))
    if tmax < tmin:
        facts = {"most": tmax, "least": tmin}
        raise BadInput("tmax", tmax, Reason("temperatures_reversed", facts))
    if upper is not None and upper <= base:
        facts = {"upper": upper, "base": base}
        raise BadInput("upper", upper, Reason("upper_not_above_base", facts))


def _average(tmax: float, tmin: float, base: float, upper: float | None) -> float:
    if upper is not None:
        tmax, tmin = min(tmax, upper), min(tmin, upper)
    return max(0.0, (tmax + tmin) / 2 - base)


def _modified(tmax: float, tmin: float, base: float, upper: float | None) -> float:
    tmax, tmin = max(tmax, base), max(tmin, base)
    return _average(tmax, tmin, base, upper)


def _above(
    curve: Callable[[float, float, float], float],
) -> Callable[[float, float, float, float | None], float]:
    """The method that counts the area of a day's curve above the base less that above the upper."""

    def method(tmax: float, tmin: float, base: float, upper: float | None) -> float:
        over = 0.0 if upper is None else curve(tmax, tmin, upper)
        return max(0.0, curve(tmax, tmin, base) - over)

    return method


def _sine(tmax: float, tmin: float, level: float) -> float:
    mean, swing = (tmax + tmin) / 2, (tmax - tmin) / 2
    if level <= tmin:
        return mean - level
    if level >= tmax:
        return 0.0
    # the sine stands above the level for twice this angle
    angle = acos((level - mean) / swing)
    return ((mean - level) * angle + swing * sin(angle)) / pi


def _triangle(tmax: float, tmin: float, level: float) -> float:
    if level <= tmin:
        return (tmax + tmin) / 2 - level
    if level >= tmax:
        return 0.0
    return (tmax - level) ** 2 / (2 * (tmax - tmin))


_METHODS = {
    "average": _average,
    "modified": _modified,
    "sine": _above(_sine),
    "triangle": _above(_triangle),
}
