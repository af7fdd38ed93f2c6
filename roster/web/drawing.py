"""Where things lie on a ruler of days, in per cent of its width: for the drawn parts of a page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from roster.words import formats


@dataclass(frozen=True)
class Tick:
    """A stroke on a ruler: a Monday, or (with a word) the first of a month."""

    x: float
    word: str | None


@dataclass(frozen=True)
class Ruler:
    """A run of days, both ends inclusive, drawn from 0 to 100 per cent."""

    first: date
    last: date
    language: str = "en"

    @property
    def days(self) -> int:
        """How many days it has, at least one."""
        return max((self.last - self.first).days + 1, 1)

    def at(self, day: date, middle: bool = True) -> float:
        """Where a day lies (its middle, or its start), in per cent, never off the ruler."""
        share = ((day - self.first).days + (0.5 if middle else 0)) / self.days
        return round(100 * min(max(share, 0.0), 1.0), 2)

    def holds(self, day: date) -> bool:
        """Whether the day lies on the ruler."""
        return self.first <= day <= self.last

    def width(self, first: date, last: date) -> float:
        """How wide a run of days is, both inclusive, cut to the ruler."""
        return round(self.at(last + timedelta(1), False) - self.at(first, False), 2)

    @property
    def months(self) -> list[Tick]:
        """The first day of the ruler and the first of each month, with the month's name."""
        found = [self.first, *(d for d in self._each() if d.day == 1 and d != self.first)]
        return [Tick(self.at(d, False), formats.month(d, self.language)) for d in found]

    @property
    def weeks(self) -> list[Tick]:
        """Each Monday that does not begin a month."""
        return [Tick(self.at(d, False), None) for d in self._each() if d.weekday() == 0]

    def _each(self) -> Iterable[date]:
        return (self.first + timedelta(n) for n in range(self.days))


@dataclass(frozen=True)
class Bar:
    """One day of the chart of chances: its place, its height in pixels, what it is."""

    x: float
    width: float
    y: float
    height: float
    kind: str
    day: date
    is_weekend: bool
    chance: float


BASE, HIGHEST = 110.0, 86.0


def bars(
    first: date, chances: Sequence[float], marked: Iterable[date] = ()
) -> tuple[Ruler, list[Bar]]:
    """The chart of the chance ready by day (0 to 1), from a first day; `marked` days are dark."""
    ruler = Ruler(first, first + timedelta(max(len(chances), 1) - 1))
    dark = set(marked)
    slot = 100 / ruler.days
    drawn = []
    for n, chance in enumerate(chances):
        day = first + timedelta(n)
        height = round(HIGHEST * min(max(chance, 0.0), 1.0), 1)
        drawn.append(
            Bar(
                x=round(n * slot + slot * 0.12, 2),
                width=round(slot * 0.76, 2),
                y=round(BASE - height, 1),
                height=height,
                kind="ev" if day in dark else "bar",
                day=day,
                is_weekend=day.weekday() >= 5,
                chance=chance,
            )
        )
    return ruler, drawn
