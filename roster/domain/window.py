"""The expected window of an event: what speaks for each day, and who comes once a day is fixed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.errors import BadInput
from roster.domain.reasons import Fact, Reason
from roster.domain.spots import InLine, MovingUp, Openings, SpotRules, move_up


def days_between(first: date, last: date) -> tuple[date, ...]:
    """Every day from the first to the last, both included."""
    return tuple(first + timedelta(days=n) for n in range((last - first).days + 1))


def chosen_days(wanted: Iterable[date], window: Collection[date]) -> tuple[date, ...]:
    """The days that somebody ticked, in order, once each; BadInput for one outside the window."""
    days = tuple(sorted(set(wanted)))
    for day in days:
        if day not in window:
            facts: dict[str, Fact] = {"day": day}
            if window:
                facts |= {"first": min(window), "last": max(window)}
            raise BadInput("days", day, Reason("day_outside_window", facts))
    return days


@dataclass(frozen=True)
class Span:
    """A half-open span of local days; `until_on` None has no end."""

    from_on: date
    until_on: date | None

    def holds(self, day: date) -> bool:
        """Whether the day is in it."""
        return self.from_on <= day and (self.until_on is None or day < self.until_on)


@dataclass(frozen=True)
class Someone:
    """A person as the board knows them: spans of clearance, days taken by other events, days away.

    `weekdays` has bit 0 for Monday, None for any day; `ticked` are the days they could come.
    """

    person: int
    name: str
    cleared: tuple[Span, ...] = ()
    lead: tuple[Span, ...] = ()
    busy: frozenset[date] = frozenset()
    away: tuple[Span, ...] = ()
    weekdays: int | None = None
    ticked: frozenset[date] = frozenset()
    minor_until: date | None = None

    def is_free(self, day: date) -> bool:
        """On no other event that day, not away, and a weekday that suits."""
        suits = self.weekdays is None or bool(self.weekdays >> day.weekday() & 1)
        return suits and day not in self.busy and not any(a.holds(day) for a in self.away)

    def leads_on(self, day: date) -> bool:
        """Cleared to lead that day and free."""
        return any(s.holds(day) for s in self.lead) and self.is_free(day)

    def comes_on(self, day: date) -> bool:
        """Ticked the day and is on no other event; their own tick goes before weekdays."""
        return day in self.ticked and day not in self.busy

    def counts_on(self, day: date) -> bool:
        """An adult who could come that day and is cleared for the crew."""
        adult = self.minor_until is None or self.minor_until <= day
        return adult and self.comes_on(day) and any(s.holds(day) for s in self.cleared)


@dataclass(frozen=True)
class BoardDay:
    """One day of the window: chance ready of each population, who could come, leads, adults."""

    day: date
    chances: tuple[float, ...]
    could: tuple[str, ...]
    leads: tuple[str, ...]
    lead_count: int
    adults: int
    missing: int
    past: bool

    @property
    def chance(self) -> float | None:
        """The chance of the population least likely to be ready, None without a calendar."""
        return min(self.chances, default=None)

    @property
    def can_go(self) -> bool:
        """A day to come with a lead and adults enough, if those who ticked it come."""
        return not self.past and self.lead_count > 0 and self.missing == 0


def board_day(
    at: tuple[date, date],
    chances: Sequence[float],
    crew: Sequence[Someone],
    leads: Sequence[Someone],
    minimum: int,
) -> BoardDay:
    """What speaks for one day; `at` is the day and today. A lead counts as one of the minimum."""
    day, today = at
    free = [one for one in leads if one.leads_on(day)]
    adults = sum(one.counts_on(day) for one in crew)
    there = {one.person for one in crew if one.comes_on(day)}
    extra = bool(free) and not any(one.person in there for one in free)
    return BoardDay(
        day=day,
        chances=tuple(chances),
        could=tuple(one.name for one in crew if one.comes_on(day)),
        leads=tuple(one.name for one in free[:3]),
        lead_count=len(free),
        adults=adults,
        missing=max(minimum - adults - extra, 0),
        past=day < today,
    )


def best_day(days: Sequence[BoardDay]) -> BoardDay | None:
    """The day to fix: likeliest ready among those on which a crew can go, then the most people.

    None where no crew can go on any day.
    """
    possible = [d for d in days if d.can_go]
    return max(possible, key=lambda d: (d.chance or 0.0, len(d.could), -d.day.toordinal()),
               default=None)  # fmt: skip


@dataclass(frozen=True)
class Fixing:
    """What becomes of who ticked the fixed day: placed, offered until when, or waiting.

    `left` may not come, each with the first reason; they stay on the list of those who asked.
    """

    placed: tuple[int, ...] = ()
    offered: tuple[int, ...] = ()
    until: datetime | None = None
    waiting: tuple[int, ...] = ()
    left: tuple[tuple[int, Reason], ...] = ()


def fixing(
    openings: Openings, line: Sequence[InLine], now: datetime, rules: SpotRules | None = None
) -> Fixing:
    """Who gets a spot once the day is fixed, in the order in which they said they could come.

    The hours of the waiting list hold here too: placed by itself until 72 h before the start, then
    an offer that needs a yes until 24 h, then by phone (they wait in line until called).
    """
    moved: MovingUp = move_up(openings, line, now, rules)
    passed = {person for person, _ in moved.passed}
    seated = {*moved.placed, *moved.offered}
    ordered = sorted(line, key=lambda one: one.line_no)
    waiting = tuple(one.wish.person for one in ordered if one.wish.person not in seated | passed)
    if not openings.stage.takes_sign_ups or not openings.is_fixed:
        waiting = ()
    return Fixing(moved.placed, moved.offered, moved.until, waiting, moved.passed)
