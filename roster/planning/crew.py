"""Finds whole crew members for chosen visits of one day: the largest flow from cells to visits."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from roster.planning.season import Season

Draw = dict[int, int]
"""Cell and how many come from it."""


@dataclass
class Day:
    """Who is still at home in each cell, and what each visit of the day has been given."""

    left: dict[int, int]
    near: Mapping[int, Sequence[int]]
    given: dict[int, Draw] = field(default_factory=dict)

    def add(self, visit: int, need: int) -> int:
        """Give the visit as many as can be found, moving others if that helps; how many it got."""
        self.given.setdefault(visit, {})
        got = 0
        while got < need:
            step = self._one_more(visit, need - got)
            if step == 0:
                break
            got += step
        return got

    def drop(self, visit: int) -> None:
        """Send everybody home whom the visit was given."""
        for cell, number in self.given.pop(visit, {}).items():
            self.left[cell] += number

    def _one_more(self, visit: int, wanted: int) -> int:
        """One shortest way from a cell with people left to the visit; how many it brings."""
        came: dict[int, tuple[int, int]] = {}  # cell -> (visit that would take, cell before)
        seen = {visit}
        line = deque([(visit, -1)])
        while line:
            taker, before = line.popleft()
            for cell in self.near.get(taker, ()):
                if cell in came:
                    continue
                came[cell] = (taker, before)
                if self.left.get(cell, 0) > 0:
                    return self._move(cell, came, wanted)
                for other, draw in self.given.items():
                    if other not in seen and draw.get(cell, 0) > 0:
                        seen.add(other)
                        line.append((other, cell))
        return 0

    def _move(self, end: int, came: dict[int, tuple[int, int]], wanted: int) -> int:
        way = []
        cell = end
        most = min(wanted, self.left[end])
        while cell >= 0:
            taker, before = came[cell]
            way.append((taker, cell, before))
            if before >= 0:
                most = min(most, self.given[taker][before])
            cell = before
        for taker, cell, before in way:
            draw = self.given[taker]
            draw[cell] = draw.get(cell, 0) + most
            if before >= 0:
                draw[before] -= most
                if not draw[before]:
                    del draw[before]
        self.left[end] -= most
        return most


def day_of(season: Season, day: int, plants: Mapping[int, int]) -> Day:
    """An empty day; `plants` gives the population of each visit that may be added."""
    near = {visit: [int(k) for k in season.by_cell[p][0]] for visit, p in plants.items()}
    cells = {k for found in near.values() for k in found}
    return Day({k: int(season.crew[k, day]) for k in cells}, near)
