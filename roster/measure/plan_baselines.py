"""The two plans that a season plan is measured against.

By hand: what a careful person with a map does: day by day, the ripest first (chance ready at least
one half), the nearest free lead and data collector, crew from the nearest cells; blind to targets.
A model of a coordinator, not an observed one. Value greedy: the whole season at once, the most
valuable population and day first, nearest people, only if the event adds value.
Both keep the promises of frozen days and do not look at others. No code of the planner's choosing.
"""

from __future__ import annotations

import numpy as np

from roster.planning.problem import Event, Problem
from roster.planning.season import Season


class Draft:
    """A plan being filled, event by event."""

    def __init__(self, season: Season) -> None:
        self.season, problem = season, season.problem
        self.events: list[Event] = []
        self.visits: list[list[int]] = [[] for _ in problem.populations]
        self.busy = np.zeros((len(problem.people), season.days), dtype=bool)
        caps = np.array([q.per_month for q in problem.people], dtype=np.int64)
        self.left = np.repeat(caps[:, None], season.month_count, axis=1)
        self.crew = season.crew.copy()
        self.wanted, self.uncut = season.wanted.copy(), season.amount.copy()
        for m in problem.frozen():
            self.book(season.plant_at[m.population], m.day, season.person_at[m.lead],
                      season.person_at[m.data_collector])  # fmt: skip

    def nearest(self, p: int, d: int, role: str, other: int = -1) -> tuple[int, float] | None:
        """The nearest person who can take the role, with the distance."""
        who, km = self.season.by_person[p]
        month = self.season.month[d]
        fit = self.season.clear[role][who, d] & ~self.busy[who, d] & (self.left[who, month] > 0)
        able = np.flatnonzero(fit & (who != other))
        return (int(who[able[0]]), float(km[able[0]])) if len(able) else None

    def gain(self, p: int, d: int, km: float) -> float:
        """What the event adds to the plan's value."""
        s, r = self.season, self.season.rules
        a = float(s.yields[p, d])
        past_target = max(0.0, a - max(0.0, float(self.wanted[s.target[p]])))
        past_first = max(0.0, a - max(0.0, float(self.uncut[p])))
        tapered = (1 - r.after_target) * past_target + (1 - r.after_first) * past_first
        return float(s.gross[p, d] - 2 * r.per_km * km - s.worth[p] * tapered)

    def attempt(self, p: int, d: int, only_gains: bool) -> None:
        """Book the event if the rules, people and crew allow it."""
        population = self.season.problem.populations[p]
        if len(self.visits[p]) >= population.visits:
            return
        if any(abs(d - v) < population.apart for v in self.visits[p]):
            return
        if self.crew[self.season.by_cell[p][0], d].sum() < population.crew:
            return
        lead = self.nearest(p, d, "lead")
        other = None if lead is None else self.nearest(p, d, "data_collector", lead[0])
        if lead is None or other is None:
            return
        if not only_gains or self.gain(p, d, lead[1] + other[1]) > 0:
            self.book(p, d, lead[0], other[0])

    def book(self, p: int, d: int, lead: int, other: int) -> None:
        """Enter the event, crew from the nearest cells."""
        season, problem = self.season, self.season.problem
        need, crew = problem.populations[p].crew, []
        for c in season.by_cell[p][0]:
            take = int(min(need, self.crew[c, d]))
            if take > 0:
                crew.append((problem.crew_cells[c].id, take))
                self.crew[c, d] -= take
                need -= take
        for q in (lead, other):
            self.busy[q, d] = True
            self.left[q, season.month[d]] -= 1
        self.visits[p].append(d)
        self.wanted[season.target[p]] -= season.yields[p, d]
        self.uncut[p] -= season.yields[p, d]
        self.events.append(Event(problem.populations[p].id, d, problem.people[lead].id,
                                 problem.people[other].id, tuple(crew)))  # fmt: skip


def _possible(season: Season) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    possible = season.open & (season.share >= season.rules.ripe_at_least)
    possible[:, : season.rules.frozen_until] = False
    return possible


def by_hand(problem: Problem) -> list[Event]:
    """Day by day, the ripest first."""
    season = Season(problem)
    draft = Draft(season)
    ready = _possible(season) & (season.share >= 0.5)
    for d in range(season.days):
        today = np.flatnonzero(ready[:, d])
        for p in today[np.argsort(-season.share[today, d], kind="stable")]:
            draft.attempt(int(p), d, only_gains=False)
    return draft.events


def value_greedy(problem: Problem) -> list[Event]:
    """The most valuable visit first."""
    season = Season(problem)
    draft = Draft(season)
    p, d = np.nonzero(_possible(season))
    for k in np.argsort(-season.gross[p, d], kind="stable"):
        draft.attempt(int(p[k]), int(d[k]), only_gains=True)
    return draft.events
