"""What the season planner is asked and what it answers, as frozen values.

Days are indexes from `first_day`; ranges are inclusive pairs; distances are kilometres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

Range = tuple[int, int]
ROLES = ("lead", "data_collector")


@dataclass(frozen=True, slots=True)
class Rules:
    """What holds for the whole season: limits, values and the price of broken promises."""

    ripe_at_least: float
    spacing_days: int
    after_target: float
    after_first: float
    per_event: float
    per_km: float
    keep_day: float
    keep_lead: float
    keep_data_collector: float
    frozen_until: int

    @property
    def keep_all(self) -> float:
        """What falls due if a promised day is dropped."""
        return self.keep_day + self.keep_lead + self.keep_data_collector


@dataclass(frozen=True, slots=True)
class Target:
    """So much seed of one species from one zone; `value` for each unit of amount."""

    id: str
    value: float
    amount: float


@dataclass(frozen=True, slots=True)
class Population:
    """Plants that one crew collects as a unit; `spacing_days` is its own or the rule's."""

    id: str
    lat: float
    lon: float
    target: str
    amount: float
    visits: int
    crew: int
    spacing_days: int
    open: tuple[Range, ...]
    ripe_from: int
    ripe_share: tuple[float, ...]

    @property
    def apart(self) -> int:
        """Days from one event to the next, at least: never two on one day."""
        return max(1, self.spacing_days)

    def share_on(self, day: int) -> float:
        """The chance ready on that day; 0 outside the list."""
        at = day - self.ripe_from
        return self.ripe_share[at] if 0 <= at < len(self.ripe_share) else 0.0


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody cleared as lead or data collector on some days; `km` is as far as they go."""

    id: str
    lat: float
    lon: float
    km: float
    per_month: int
    free: tuple[Range, ...]
    lead: tuple[Range, ...]
    data_collector: tuple[Range, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """Crew members of one neighbourhood: how many can be counted on, day by day."""

    id: str
    lat: float
    lon: float
    km: float
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Promise:
    """A published event: people have been told."""

    population: str
    day: int
    lead: str
    data_collector: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One season to plan."""

    first_day: date
    day_count: int
    rules: Rules
    targets: tuple[Target, ...]
    populations: tuple[Population, ...]
    people: tuple[Person, ...]
    crew_cells: tuple[Cell, ...]
    promised: tuple[Promise, ...] = ()

    def months(self) -> list[int]:
        """For each day of the season the number of its calendar month, from 0."""
        days = [self.first_day + timedelta(days=d) for d in range(self.day_count)]
        start = self.first_day.year * 12 + self.first_day.month
        return [d.year * 12 + d.month - start for d in days]

    def frozen(self) -> list[Promise]:
        """Promises on days that may not be changed any more."""
        return [m for m in self.promised if m.day < self.rules.frozen_until]


@dataclass(frozen=True, slots=True)
class Limits:
    """When to stop: wall seconds, relative gap, branching nodes of each lane; and the seed.

    With `nodes` the lanes do not stop each other, so that a run which time does not cut can be
    repeated to the last digit.
    """

    seconds: float = 60.0
    gap: float = 0.0
    nodes: int | None = None
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Event:
    """One outing of the plan; `crew` names cells and how many come from each."""

    population: str
    day: int
    lead: str
    data_collector: str
    crew: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Unserved:
    """A population without an event: the code of the reason, and its particulars."""

    population: str
    reason: str
    detail: str


@dataclass(frozen=True, slots=True)
class Kept:
    """A promise on a frozen day that breaks a rule and is kept all the same."""

    population: str
    day: int
    detail: str


@dataclass(frozen=True, slots=True)
class Plan:
    """The season as planned, and what is proven about it.

    No plan of this problem is worth more than `bound`; `gap` = (bound - value) / |value|, None if
    the value is 0 and the bound is not.
    """

    events: tuple[Event, ...]
    value: float
    bound: float
    bound_from: str
    stopped_by: str
    seconds: float
    unserved: tuple[Unserved, ...] = ()
    frozen_breaks_rule: tuple[Kept, ...] = field(default=())

    @property
    def gap(self) -> float | None:
        """How much better the best plan can be at most, as a share of this one's value."""
        return relative_gap(self.value, self.bound)

    def to_document(self) -> dict[str, object]:
        """The answer in the format `roster-plan-answer-1`."""
        events = [
            {"population": e.population, "day": e.day, "lead": e.lead,
             "data_collector": e.data_collector, "crew": [list(c) for c in e.crew]}
            for e in self.events
        ]  # fmt: skip
        unserved = [
            {"population": u.population, "reason": u.reason, "detail": u.detail}
            for u in self.unserved
        ]
        kept = [
            {"population": k.population, "day": k.day, "detail": k.detail}
            for k in self.frozen_breaks_rule
        ]
        return {
            "format": "roster-plan-answer-1", "events": events, "value": self.value,
            "bound": self.bound, "gap": self.gap, "bound_from": self.bound_from,
            "stopped_by": self.stopped_by, "seconds": self.seconds, "unserved": unserved,
            "frozen_breaks_rule": kept,
        }  # fmt: skip


def relative_gap(value: float, bound: float) -> float | None:
    """(bound - value) / |value|; of the value 0 it is 0 if the bound is at most 1e-9, else None."""
    if value == 0:
        return 0.0 if bound <= 1e-9 else None
    return max(0.0, bound - value) / abs(value)


def holds_on(ranges: Iterable[Range], day: int) -> bool:
    """Whether the day lies in one of the inclusive ranges."""
    return any(first <= day <= last for first, last in ranges)
