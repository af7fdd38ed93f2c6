"""Plans without a solver: visits one by one in an order, each with its cheapest free people.

With prices on people's days this follows the whole season; without, only each visit's own gain.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates, Posts
from roster.planning.crew import Day, day_of
from roster.planning.draft import Choice
from roster.planning.objective import Gains, gains
from roster.planning.season import Floats, Ints


@dataclass(frozen=True)
class Prices:
    """What a person's day and a visit's crew cost elsewhere; the order in which to choose."""

    person_day: Floats
    order: Ints


def by_value(c: Candidates) -> Prices:
    """No prices: the most valuable visit first."""
    told = gains(c)
    none = np.zeros((len(c.season.problem.people), c.season.days))
    return Prices(none, np.argsort(-told.visits, kind="stable"))


class Greedy:
    """A plan being filled."""

    def __init__(self, c: Candidates, prices: Prices) -> None:
        self.c, self.season, self.prices = c, c.season, prices
        self.gains: Gains = gains(c)
        self.yields = c.yields()
        self.choices: list[Choice] = []
        self.busy = np.zeros(c.season.clear["lead"].shape, dtype=np.bool_)
        self.cap = c.season.cap.copy()
        self.visits: dict[int, list[int]] = {}
        self.room = c.season.wanted - c.season.frozen_target
        self.own = c.season.amount - c.season.frozen_plant
        self._days: dict[int, Day] = {}
        self._first = {
            role: np.searchsorted(posts.visit, np.arange(c.count + 1))
            for role, posts in (("lead", c.leads), ("data_collector", c.collectors))
        }

    def fill(self, order: Iterable[int] | None = None) -> list[Choice]:
        """Go through the visits in order and take each that is possible and gains."""
        for v in self.prices.order if order is None else order:
            self._attempt(int(v))
        return self.choices

    def _attempt(self, v: int) -> None:
        p, d = int(self.c.plant[v]), int(self.c.day[v])
        population = self.season.problem.populations[p]
        before = self.visits.get(p, [])
        if len(before) >= self.season.visits[p]:
            return
        if any(abs(d - other) < population.apart for other in before):
            return
        pair = self._pair(v, d)
        if pair is None or self._worth(v, p) + pair[2] <= 0:
            return
        day = self._day(d)
        if day.add(v, population.crew) < population.crew:
            day.drop(v)
            return
        self._book(v, Choice(p, d, pair[0], pair[1]))

    def _day(self, d: int) -> Day:
        if d not in self._days:
            same = np.flatnonzero(self.c.day == d)
            self._days[d] = day_of(self.season, d, {int(v): int(self.c.plant[v]) for v in same})
        return self._days[d]

    def _worth(self, v: int, p: int) -> float:
        """The visit's own gain with what tapers."""
        a, target = self.yields[v], self.season.target[p]
        past_target = max(0.0, a - max(0.0, self.room[target]))
        past_first = max(0.0, a - max(0.0, self.own[p]))
        tapered = self.gains.per_target[target] * past_target + self.gains.per_plant[p] * past_first
        return float(self.gains.visits[v] + tapered)

    def _best(self, role: str, v: int, d: int) -> list[tuple[float, int, float]]:
        """The two best free people for the role: priced gain, person, gain."""
        posts: Posts = self.c.leads if role == "lead" else self.c.collectors
        gain = self.gains.leads if role == "lead" else self.gains.collectors
        i, j = self._first[role][v], self._first[role][v + 1]
        who = posts.person[i:j]
        free = np.flatnonzero(~self.busy[who, d] & (self.cap[who, self.season.month[d]] > 0))
        priced = gain[i:j][free] - self.prices.person_day[who[free], d]
        return [
            (float(priced[k]), int(who[free[k]]), float(gain[i + free[k]]))
            for k in np.argsort(-priced, kind="stable")[:2]
        ]

    def _pair(self, v: int, d: int) -> tuple[int, int, float] | None:
        """Lead, data collector and what they add: the best two different people."""
        pairs = [
            (a + b, lead, other, x + y)
            for a, lead, x in self._best("lead", v, d)
            for b, other, y in self._best("data_collector", v, d)
            if lead != other
        ]
        if not pairs:
            return None
        _, lead, other, gain = max(pairs, key=lambda pair: pair[0])
        return lead, other, gain

    def _book(self, v: int, one: Choice) -> None:
        month = self.season.month[one.day]
        for q in (one.lead, one.collector):
            self.busy[q, one.day] = True
            self.cap[q, month] -= 1
        self.visits.setdefault(one.plant, []).append(one.day)
        self.room[self.season.target[one.plant]] -= self.yields[v]
        self.own[one.plant] -= self.yields[v]
        self.choices.append(one)
