"""When somebody is free, how far they drive, how often they come, which species they know."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.errors import BadInput
from roster.domain.ranges import within
from roster.domain.reasons import Fact, Reason

EVERY_DAY = 127
MOST_TIMES_AWAY = 40
LONGEST_DRIVE = 1440


@dataclass(frozen=True, order=True)
class Away:
    """Days on which somebody is away, the last one included."""

    from_on: date
    last_day: date

    def __post_init__(self) -> None:
        if self.last_day < self.from_on:
            facts: dict[str, Fact] = {"from_on": self.from_on, "last_day": self.last_day}
            raise BadInput("last_day", self.last_day, Reason("away_days_reversed", facts))

    def __str__(self) -> str:
        return f"{self.from_on.isoformat()}/{self.last_day.isoformat()}"


def away_of(text: str) -> Away:
    """The days that `str(away)` wrote down."""
    first, _, last = text.partition("/")
    try:
        return Away(date.fromisoformat(first), date.fromisoformat(last))
    except ValueError:
        raise BadInput("away", text, Reason("bad_day", {"value": text[:40]})) from None


@dataclass(frozen=True)
class Availability:
    """What somebody said of their time; nothing said: every day, any distance, four a month.

    `weekdays` are bits, Monday the lowest. `minutes_drive` one way, None for any. `taxa` are the
    species known well enough to tell them from others.
    """

    weekdays: int = EVERY_DAY
    minutes_drive: int | None = None
    per_month: int = 4
    away: tuple[Away, ...] = ()
    taxa: frozenset[int] = frozenset()

    def __post_init__(self) -> None:
        within("weekdays", self.weekdays, 0, EVERY_DAY)
        within("per_month", self.per_month, 0, 31)
        if self.minutes_drive is not None:
            within("minutes_drive", self.minutes_drive, 0, LONGEST_DRIVE)
        if len(self.away) > MOST_TIMES_AWAY:
            facts: dict[str, Fact] = {"n": len(self.away), "most": MOST_TIMES_AWAY}
            raise BadInput("away", len(self.away), Reason("away_too_often", facts))

    @property
    def free_on(self) -> frozenset[int]:
        """The weekdays that are free, Monday 0."""
        return frozenset(i for i in range(7) if self.weekdays >> i & 1)

    def is_free(self, day: date) -> bool:
        """Whether the person is free on a day: a free weekday, and not away."""
        return day.weekday() in self.free_on and not any(
            a.from_on <= day <= a.last_day for a in self.away
        )


def bits_of(weekdays: Iterable[int]) -> int:
    """Weekdays (Monday 0) as bits."""
    return sum(1 << int(within("weekdays", d, 0, 6)) for d in set(weekdays))


def joined(times: Iterable[Away]) -> tuple[Away, ...]:
    """The same days in order, with times that touch or overlap made one."""
    found: list[Away] = []
    for one in sorted(times):
        if found and one.from_on <= found[-1].last_day + timedelta(days=1):
            found[-1] = Away(found[-1].from_on, max(found[-1].last_day, one.last_day))
        else:
            found.append(one)
    return tuple(found)


def to_words(said: Availability) -> dict[str, str]:
    """The parts as plain texts, as the journal keeps them and `from_words` reads them."""
    return {
        "weekdays": str(said.weekdays),
        "minutes_drive": "" if said.minutes_drive is None else str(said.minutes_drive),
        "per_month": str(said.per_month),
        "away": " ".join(str(one) for one in said.away),
        "taxa": " ".join(str(number) for number in sorted(said.taxa)),
    }


def from_words(parts: Mapping[str, str]) -> Availability:
    """The same parts read back."""
    return Availability(
        int(parts["weekdays"]),
        int(parts["minutes_drive"]) if parts["minutes_drive"] else None,
        int(parts["per_month"]),
        tuple(away_of(text) for text in parts["away"].split()),
        frozenset(int(number) for number in parts["taxa"].split()),
    )
