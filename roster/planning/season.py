"""The problem as arrays: days, reach, and what the frozen days leave of every limit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from roster.domain.geo import EARTH_KM, great_circle_km
from roster.planning.problem import Cell, Person, Population, Problem, Range

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

EDGE_KM = 1e-9
"""Reach is inclusive to so much."""

Near = tuple[Ints, Floats]
"""Indexes of those who reach a place, nearest first, and their distances."""


class Season:
    """The problem in arrays, with what is left after the promises on frozen days."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.rules, self.days = problem, problem.rules, problem.day_count
        self.month = np.array(problem.months(), dtype=np.int64)
        self.month_count = int(self.month.max()) + 1
        self.plant_at = {p.id: i for i, p in enumerate(problem.populations)}
        self.person_at = {q.id: i for i, q in enumerate(problem.people)}
        target_at = {t.id: i for i, t in enumerate(problem.targets)}
        plants = problem.populations
        self.target = np.array([target_at[p.target] for p in plants], dtype=np.int64)
        values = np.array([t.value for t in problem.targets], dtype=np.float64)
        self.worth = values[self.target] if len(plants) else np.zeros(0)
        self.wanted = np.array([t.amount for t in problem.targets], dtype=np.float64)
        self.amount = np.array([p.amount for p in plants], dtype=np.float64)
        self.share = _shares(plants, self.days)
        self.yields = self.amount[:, None] * self.share
        self.gross = self.worth[:, None] * self.yields - self.rules.per_event
        self.open = _days((p.open for p in plants), self.days)
        self._people(problem.people)
        cells = problem.crew_cells
        self.by_person = near(plants, problem.people)
        self.by_cell = near(plants, cells)
        self.crew = np.array([c.people for c in cells], dtype=np.int64).reshape(-1, self.days)
        self._freeze()

    def _people(self, people: Sequence[Person]) -> None:
        free = _days((q.free for q in people), self.days)
        self.cleared = {
            "lead": _days((q.lead for q in people), self.days),
            "data_collector": _days((q.data_collector for q in people), self.days),
        }
        self.free = free
        self.clear = {role: free & days for role, days in self.cleared.items()}

    def _freeze(self) -> None:
        """Takes the frozen promises out of every limit."""
        self.possible = self.open & (self.share >= self.rules.ripe_at_least)
        self.possible[:, : self.rules.frozen_until] = False
        self.visits = np.array([p.visits for p in self.problem.populations], dtype=np.int64)
        caps = np.array([q.per_month for q in self.problem.people], dtype=np.int64)
        self.cap = np.repeat(caps[:, None], self.month_count, axis=1)
        self.frozen_target = np.zeros(len(self.wanted))
        self.frozen_plant = np.zeros(len(self.amount))
        self.frozen_value = 0.0
        for m in self.problem.frozen():
            p = self.plant_at[m.population]
            self.visits[p] -= 1
            self.possible[p, : m.day + self.problem.populations[p].apart] = False
            self.frozen_target[self.target[p]] += self.yields[p, m.day]
            self.frozen_plant[p] += self.yields[p, m.day]
            self.frozen_value += float(self.gross[p, m.day])
            for who in (m.lead, m.data_collector):
                q = self.person_at[who]
                self.frozen_value -= 2 * self.rules.per_km * self.km(p, q)
            for q in {self.person_at[m.lead], self.person_at[m.data_collector]}:
                self.cap[q, self.month[m.day]] -= 1
        self.cap = np.maximum(self.cap, 0)
        self.visits = np.maximum(self.visits, 0)
        self.possible[self.visits == 0] = False

    def km(self, plant: int, person: int) -> float:
        """As the crow flies from the person's home to the population."""
        p, q = self.problem.populations[plant], self.problem.people[person]
        return great_circle_km(p.lat, p.lon, q.lat, q.lon)


def _days(many: Iterable[tuple[Range, ...]], days: int) -> Flags:
    rows = []
    for ranges in many:
        row = np.zeros(days, dtype=np.bool_)
        for first, last in ranges:
            row[max(0, first) : max(0, last + 1)] = True
        rows.append(row)
    return np.array(rows, dtype=np.bool_).reshape(-1, days)


def _shares(plants: Sequence[Population], days: int) -> Floats:
    out = np.zeros((len(plants), days))
    for i, p in enumerate(plants):
        first, last = max(0, p.ripe_from), min(days, p.ripe_from + len(p.ripe_share))
        if first < last:
            out[i, first:last] = p.ripe_share[first - p.ripe_from : last - p.ripe_from]
    return out


def near(plants: Sequence[Population], others: Sequence[Person] | Sequence[Cell]) -> list[Near]:
    """For each population those who reach it, nearest first (haversine in a band of latitude)."""
    lat = np.radians(np.array([o.lat for o in others], dtype=np.float64))
    order = np.argsort(lat, kind="stable")
    lat = lat[order]
    lon = np.radians(np.array([o.lon for o in others], dtype=np.float64))[order]
    reach = np.array([o.km for o in others], dtype=np.float64)[order]
    band = (float(reach.max()) if len(reach) else 0.0) / EARTH_KM + 1e-9
    out = []
    for p in plants:
        a, b = np.radians(p.lat), np.radians(p.lon)
        i, j = np.searchsorted(lat, [a - band, a + band])
        half = (
            np.sin((lat[i:j] - a) / 2) ** 2
            + np.cos(a) * np.cos(lat[i:j]) * np.sin((lon[i:j] - b) / 2) ** 2
        )
        km = 2 * EARTH_KM * np.arcsin(np.minimum(1.0, np.sqrt(half)))
        within = np.flatnonzero(km <= reach[i:j] + EDGE_KM)
        who, far = order[i:j][within].astype(np.int64), km[within]
        first = np.lexsort((who, far))
        out.append((who[first], far[first]))
    return out
