"""Stretches of days: half-open pairs (first day, day after the last), sorted and apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

Span = tuple[date, date]
"""From a day until the day after the last; OPEN_START and OPEN_END stand for no limit."""

OPEN_START = date.min
OPEN_END = date.max
ALWAYS: tuple[Span, ...] = ((OPEN_START, OPEN_END),)


def union(spans: Iterable[Span]) -> list[Span]:
    """The days that lie in any of the spans; touching spans become one, empty ones vanish."""
    joined: list[Span] = []
    for first, until in sorted(s for s in spans if s[0] < s[1]):
        if joined and first <= joined[-1][1]:
            if until > joined[-1][1]:
                joined[-1] = (joined[-1][0], until)
        else:
            joined.append((first, until))
    return joined


def intersection(some: Sequence[Span], others: Sequence[Span]) -> list[Span]:
    """The days that lie in both; each side is sorted and apart, as `union` gives it."""
    both: list[Span] = []
    i = j = 0
    while i < len(some) and j < len(others):
        first = max(some[i][0], others[j][0])
        until = min(some[i][1], others[j][1])
        if first < until:
            both.append((first, until))
        if some[i][1] < others[j][1]:
            i += 1
        else:
            j += 1
    return both


def without(spans: Sequence[Span], taken: Iterable[Span]) -> list[Span]:
    """The days of `spans` that lie in none of `taken`."""
    left = list(spans)
    for first, until in union(taken):
        rest = ((OPEN_START, first), (until, OPEN_END))
        left = intersection(left, [s for s in rest if s[0] < s[1]])
    return left


def cut_at(spans: Iterable[Span], days: Iterable[date]) -> list[Span]:
    """The same days, with a span that runs across one of `days` parted before that day."""
    parts = list(spans)
    for day in days:
        parts = [
            piece
            for first, until in parts
            for piece in ([(first, day), (day, until)] if first < day < until else [(first, until)])
        ]
    return parts


def holding(spans: Iterable[Span], day: date) -> Span | None:
    """The span that holds the day, or None."""
    return next((s for s in spans if s[0] <= day < s[1]), None)
