"""A bound and prices without a solver: the shared limits are priced, then each population alone
picks its best days.

Lagrangian relaxation (Geoffrion 1974, "Lagrangean relaxation for integer programming"): for any
prices that are not negative, what the populations earn after paying them, plus the limits at
those prices, is above every plan. The prices are moved along the subgradient with Polyak's step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates, Posts
from roster.planning.greedy import Prices
from roster.planning.objective import gains
from roster.planning.season import Flags, Floats, Ints

NEVER = -1e18


@dataclass
class Multipliers:
    """The price of each shared limit."""

    person_day: Floats
    person_month: Floats
    cell_day: Floats
    target: Floats
    plant: Floats


@dataclass(frozen=True)
class Relaxed:
    """The lowest bound found, and prices for a greedy choice that follow from it."""

    bound: float
    prices: Prices


class Relaxation:
    """The season with its shared limits priced."""

    def __init__(self, c: Candidates) -> None:
        self.c, self.season, self.gains = c, c.season, gains(c)
        self.yields, self.need = c.yields(), c.need()
        season = c.season
        self.plants, self.row = np.unique(c.plant, return_inverse=True)
        self.apart = np.array([season.problem.populations[p].apart for p in self.plants])
        self.visits = np.minimum(season.visits[self.plants], -(-season.days // self.apart))
        arcs = [season.by_cell[p][0] for p in c.plant]
        self.arc_visit = np.repeat(np.arange(c.count), [len(a) for a in arcs])
        cells = np.concatenate(arcs) if arcs else np.zeros(0, dtype=np.int64)
        there = season.crew[cells, c.day[self.arc_visit]] > 0
        self.arc_visit, self.arc_cell = self.arc_visit[there], cells[there]
        self.month_of = season.month[c.day]
        self.room = season.wanted - season.frozen_target
        self.own = season.amount - season.frozen_plant
        people = season.cap.shape[0]
        self.at = Multipliers(
            np.zeros((people, season.days)), np.zeros(season.cap.shape),
            np.zeros(season.crew.shape), np.zeros(len(self.room)), np.zeros(len(self.own)),
        )  # fmt: skip

    def evaluate(self) -> tuple[float, Floats, Multipliers]:
        """The bound at these prices, each visit's gain after them, and the subgradient."""
        c, at, season = self.c, self.at, self.season
        lead, lead_gain = self._best(c.leads, self.gains.leads)
        other, other_gain = self._best(c.collectors, self.gains.collectors)
        cell, crew_price = self._cheapest_cell()
        target = season.target[c.plant]
        profit = (
            self.gains.visits + lead_gain + other_gain - self.need * crew_price
            - (at.target[target] + at.plant[c.plant]) * self.yields
        )  # fmt: skip
        total, taken = self._pick(profit)
        bound = (
            self.gains.constant + total + float(at.person_day.sum())
            + float((at.person_month * season.cap).sum()) + float((at.cell_day * season.crew).sum())
            + float(at.target @ self.room) + float(at.plant @ self.own)
        )  # fmt: skip
        return bound, profit, self._excess(taken, lead, other, cell)

    def _excess(self, taken: Flags, lead: Ints, other: Ints, cell: Ints) -> Multipliers:
        """How far the picked visits go beyond each limit."""
        c, season = self.c, self.season
        v = np.flatnonzero(taken)
        people = np.concatenate([c.leads.person[lead[v]], c.collectors.person[other[v]]])
        days, months = np.tile(c.day[v], 2), np.tile(self.month_of[v], 2)
        person_day = -np.ones(self.at.person_day.shape)
        np.add.at(person_day, (people, days), 1.0)
        person_month = -season.cap.astype(np.float64)
        np.add.at(person_month, (people, months), 1.0)
        cell_day = -season.crew.astype(np.float64)
        crewed = v[self.need[v] > 0]
        np.add.at(cell_day, (cell[crewed], c.day[crewed]), self.need[crewed])
        target, plant = -self.room.copy(), -self.own.copy()
        np.add.at(target, season.target[c.plant[v]], self.yields[v])
        np.add.at(plant, c.plant[v], self.yields[v])
        return Multipliers(person_day, person_month, cell_day, target, plant)

    def _best(self, posts: Posts, gain: Floats) -> tuple[Ints, Floats]:
        """The post that is best after prices, for each visit, and its gain."""
        day, month = self.c.day[posts.visit], self.month_of[posts.visit]
        at = self.at
        value = gain - at.person_day[posts.person, day] - at.person_month[posts.person, month]
        return _top(posts.visit, value, self.c.count)

    def _cheapest_cell(self) -> tuple[Ints, Floats]:
        if not len(self.arc_visit):
            return np.zeros(self.c.count, dtype=np.int64), np.zeros(self.c.count)
        price = self.at.cell_day[self.arc_cell, self.c.day[self.arc_visit]]
        best, value = _top(self.arc_visit, -price, self.c.count)
        return self.arc_cell[best], np.where(value <= NEVER, 0.0, -value)

    def _pick(self, profit: Floats) -> tuple[float, Flags]:
        """Each population's best visits, as many and as far apart as it bears."""
        days, n = self.season.days, len(self.plants)
        table = np.full((n, days), NEVER)
        table[self.row, self.c.day] = profit
        most = int(self.visits.max()) if n else 0
        best = np.zeros((most + 1, n, days + 1))
        column = np.arange(n)
        for k in range(1, most + 1):
            for d in range(days):
                before = best[k - 1, column, np.maximum(0, d + 1 - self.apart)]
                best[k, :, d + 1] = np.maximum(best[k, :, d], table[:, d] + before)
        level, end = self.visits, np.full(n, days)
        total = float(best[level, column, end].sum())
        chosen = np.zeros((n, days), dtype=np.bool_)
        for day in range(days - 1, -1, -1):
            here = end == day + 1
            take = here & (level > 0) & (best[level, column, day + 1] > best[level, column, day])
            chosen[take, day] = True
            level = np.where(take, level - 1, level)
            end = np.where(take, np.maximum(0, day + 1 - self.apart), np.where(here, day, end))
        return total, np.asarray(chosen[self.row, self.c.day])

    def move(self, way: Multipliers, step: float) -> None:
        """Raise the prices of limits that were passed, lower the others."""
        at = self.at
        at.person_day = np.maximum(0.0, at.person_day + step * way.person_day)
        at.person_month = np.maximum(0.0, at.person_month + step * way.person_month)
        at.cell_day = np.maximum(0.0, at.cell_day + step * way.cell_day)
        at.target = np.clip(at.target + step * way.target, 0.0, -self.gains.per_target)
        at.plant = np.clip(at.plant + step * way.plant, 0.0, -self.gains.per_plant)

    def length(self, way: Multipliers) -> float:
        """Squared length of the subgradient where it can still move a price."""
        total = 0.0
        for price, part in (
            (self.at.person_day, way.person_day), (self.at.person_month, way.person_month),
            (self.at.cell_day, way.cell_day), (self.at.target, way.target),
            (self.at.plant, way.plant),
        ):  # fmt: skip
            total += float((part[(price > 0) | (part > 0)] ** 2).sum())
        return total


def _top(group: Ints, value: Floats, groups: int) -> tuple[Ints, Floats]:
    """For each group the first entry with the largest value, and that value."""
    best = np.full(groups, NEVER)
    np.maximum.at(best, group, value)
    entry = np.zeros(groups, dtype=np.int64)
    ties = np.flatnonzero(value == best[group])[::-1]
    entry[group[ties]] = ties
    return entry, best


def relax(
    c: Candidates, value: float, rounds: int, must_stop: Callable[[], bool] = lambda: False
) -> Relaxed:
    """The bound after so many rounds of prices; `value` is that of a plan in hand."""
    priced = Relaxation(c)
    lowest, pace, idle = np.inf, 1.0, 0
    best, order = priced.at, np.arange(c.count)
    for _ in range(rounds):
        bound, profit, way = priced.evaluate()
        if bound < lowest - 1e-9:
            lowest, idle, best = bound, 0, Multipliers(*_copies(priced.at))
            order = np.argsort(-profit, kind="stable")
        else:
            idle += 1
            if idle >= 10:
                pace, idle = pace / 2, 0
        length = priced.length(way)
        if length == 0 or pace < 1e-4 or must_stop():
            break
        priced.move(way, pace * max(1e-6, bound - value) / length)
    return Relaxed(float(lowest), Prices(_per_day(c, best), order))


def _copies(at: Multipliers) -> list[Floats]:
    return [p.copy() for p in (at.person_day, at.person_month, at.cell_day, at.target, at.plant)]


def _per_day(c: Candidates, at: Multipliers) -> Floats:
    return np.asarray(at.person_day + at.person_month[:, c.season.month])
