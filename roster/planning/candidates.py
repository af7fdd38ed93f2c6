"""Everything that a plan may choose from: visits (population and day), and who could take them.

A visit is a candidate only if the day is open, ripe enough and not frozen, somebody could lead,
somebody else could collect the data, and enough crew members are in reach.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from roster.planning.season import Flags, Floats, Ints, Season


@dataclass(frozen=True)
class Posts:
    """Who could take one role on which visit: three parallel arrays, sorted by visit."""

    visit: Ints
    person: Ints
    km: Floats


@dataclass(frozen=True)
class Candidates:
    """Visits with their posts, and the cells that reach each population."""

    season: Season
    plant: Ints
    day: Ints
    leads: Posts
    collectors: Posts

    @property
    def count(self) -> int:
        """How many visits there are."""
        return len(self.plant)

    def yields(self) -> Floats:
        """What each visit may be expected to bring."""
        return np.asarray(self.season.yields[self.plant, self.day])

    def need(self) -> Ints:
        """Crew members that each visit needs."""
        crew = np.array([p.crew for p in self.season.problem.populations], dtype=np.int64)
        return np.asarray(crew[self.plant])


def find(season: Season) -> Candidates:
    """All candidates of the season, by population and day."""
    plants, days = [], []
    parts: dict[str, list[tuple[Ints, Ints, Floats]]] = {"lead": [], "data_collector": []}
    start = 0
    for p in range(len(season.amount)):
        open_days = np.flatnonzero(season.possible[p])
        if not len(open_days):
            continue
        who, km = season.by_person[p]
        masks = {role: _posts_open(season, who, open_days, role) for role in parts}
        keep = _can_be_staffed(masks["lead"], masks["data_collector"]) & _crew(season, p, open_days)
        open_days = open_days[keep]
        for role, mask in masks.items():
            at, k = np.nonzero(mask[:, keep].T)
            parts[role].append((at + start, who[k], km[k]))
        plants.append(np.full(len(open_days), p, dtype=np.int64))
        days.append(open_days.astype(np.int64))
        start += len(open_days)
    return Candidates(season, _joined(plants), _joined(days), _posts(parts["lead"]),
                      _posts(parts["data_collector"]))  # fmt: skip


def _posts_open(season: Season, who: Ints, days: Ints, role: str) -> Flags:
    """Person x day: free, cleared and with a day left in that month."""
    clear = season.clear[role][np.ix_(who, days)]
    return np.asarray(clear & (season.cap[np.ix_(who, season.month[days])] > 0))


def _can_be_staffed(leads: Flags, collectors: Flags) -> Flags:
    """Days on which two different people could take the two roles."""
    either = (leads | collectors).sum(axis=0)
    return np.asarray(leads.any(axis=0) & collectors.any(axis=0) & (either >= 2))


def _crew(season: Season, plant: int, days: Ints) -> Flags:
    cells, _ = season.by_cell[plant]
    there = season.crew[np.ix_(cells, days)].sum(axis=0)
    return np.asarray(there >= season.problem.populations[plant].crew)


def _joined(parts: list[Ints]) -> Ints:
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.int64)


def _posts(parts: list[tuple[Ints, Ints, Floats]]) -> Posts:
    if not parts:
        none = np.zeros(0, dtype=np.int64)
        return Posts(none, none, np.zeros(0))
    visit, person, km = (np.concatenate([part[i] for part in parts]) for i in range(3))
    return Posts(visit.astype(np.int64), person.astype(np.int64), km.astype(np.float64))
