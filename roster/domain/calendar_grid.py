"""A month or a week as rows of days, Monday first, and which events stand on which day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Protocol, TypeVar

WEEK = timedelta(days=7)


class Span(StrEnum):
    """How many days are shown at a time."""

    MONTH = "month"
    WEEK = "week"


class HasDays(Protocol):
    """Something with a first and a last day, both included."""

    @property
    def day(self) -> date:
        """The first day."""

    @property
    def last_day(self) -> date:
        """The last day."""


T = TypeVar("T", bound=HasDays)


@dataclass(frozen=True)
class Grid:
    """The days shown: rows of seven, Monday first, and the days before and after to go to.

    `first` and `last` are those of the month or week itself; rows may reach beyond a month.
    """

    span: Span
    first: date
    last: date
    rows: tuple[tuple[date, ...], ...]
    before: date
    after: date

    @property
    def shown(self) -> tuple[date, date]:
        """The first and last day in the rows."""
        return self.rows[0][0], self.rows[-1][-1]

    def holds(self, day: date) -> bool:
        """Whether a day is of the month or week itself, not of its edges."""
        return self.first <= day <= self.last


def grid(span: Span, on: date) -> Grid:
    """The month or week that holds a day (ISO 8601 week, Monday first).

    At the ends of the calendar (years 1 and 9999) the day is moved inside.
    """
    on = min(max(on, date(1, 2, 1)), date(9999, 11, 30))
    if span is Span.WEEK:
        first = on - timedelta(days=on.weekday())
        last = first + timedelta(days=6)
    else:
        first = on.replace(day=1)
        last = (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    monday = first - timedelta(days=first.weekday())
    weeks = (last - monday).days // 7 + 1
    rows = tuple(
        tuple(monday + w * WEEK + timedelta(days=d) for d in range(7)) for w in range(weeks)
    )
    before = first - (WEEK if span is Span.WEEK else timedelta(days=1))
    after = last + timedelta(days=1)
    return Grid(span, first, last, rows, before, after)


def by_day(shown: Grid, events: Iterable[T]) -> dict[date, tuple[T, ...]]:
    """The events of each day shown, in their order; one of several days stands on each."""
    first, last = shown.shown
    found: dict[date, tuple[T, ...]] = {}
    for one in events:
        for day in days_between(max(one.day, first), min(one.last_day, last)):
            found[day] = (*found.get(day, ()), one)
    return found


def days_between(first: date, last: date) -> Sequence[date]:
    """Every day from the first to the last, both included; none if they are reversed."""
    return [first + timedelta(days=i) for i in range((last - first).days + 1)]
