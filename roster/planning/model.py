"""The rules of a season as rows of a linear model, one function per rule.

Columns: visit chosen (0/1), lead of a visit (0/1), data collector of a visit (0/1), amount past
each target, amount past a population's own, crew from a cell on a visit (continuous: with the
visits fixed each day is a transport problem in whole numbers, so whole flows exist).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates, Posts
from roster.planning.objective import gains
from roster.planning.season import Flags, Floats, Ints

INFINITY = float("inf")


@dataclass(frozen=True)
class Rows:
    """Some rows: entries (row from 0, column, factor), and the least and most of each row."""

    row: Ints
    column: Ints
    factor: Floats
    least: Floats
    most: Floats


@dataclass(frozen=True)
class Layout:
    """Where each kind of column begins."""

    visits: int
    leads: int
    collectors: int
    past_target: int
    past_plant: int
    crew: int
    end: int


@dataclass(frozen=True)
class Model:
    """Maximise gain x columns + constant, subject to the rows."""

    layout: Layout
    gain: Floats
    upper: Floats
    whole: Flags
    rows: Rows
    constant: float
    flow_visit: Ints
    flow_cell: Ints


def build(c: Candidates) -> Model:
    """The whole model of the season."""
    told = gains(c)
    flow_visit, flow_cell = crew_arcs(c)
    sizes = [c.count, len(c.leads.visit), len(c.collectors.visit), len(c.season.wanted),
             len(c.season.amount), len(flow_visit)]  # fmt: skip
    at = Layout(*(int(n) for n in np.cumsum([0, *sizes])))
    nothing = np.zeros(sizes[5])
    gain = np.concatenate([told.visits, told.leads, told.collectors, told.per_target,
                           told.per_plant, nothing])  # fmt: skip
    upper = np.concatenate([np.ones(at.past_target), np.full(at.end - at.past_target, INFINITY)])
    whole = np.arange(at.end) < at.past_target
    parts = [
        one_person_per_role(c, c.leads, at.leads),
        one_person_per_role(c, c.collectors, at.collectors),
        visits_of_a_population(c),
        days_apart(c),
        one_event_a_day(c, at),
        days_a_month(c, at),
        value_past_target(c, at),
        value_past_first(c, at),
        crew_needed(c, at, flow_visit),
        crew_there(c, at, flow_visit, flow_cell),
    ]
    return Model(at, gain, upper, whole, joined(parts), told.constant, flow_visit, flow_cell)


def joined(parts: list[Rows]) -> Rows:
    """The rows one below the other."""
    starts = np.cumsum([0, *(len(p.least) for p in parts)])
    return Rows(
        np.concatenate([p.row + s for p, s in zip(parts, starts[:-1], strict=True)]),
        np.concatenate([p.column for p in parts]),
        np.concatenate([p.factor for p in parts]),
        np.concatenate([p.least for p in parts]),
        np.concatenate([p.most for p in parts]),
    )


def grouped(key: Ints, column: Ints, factor: Floats) -> tuple[Ints, Rows]:
    """One row for each key with no limits yet; with the keys in order."""
    keys, row = np.unique(key, return_inverse=True)
    free = np.full(len(keys), INFINITY)
    return keys, Rows(row.astype(np.int64).ravel(), column, factor, -free, free)


def at_most(rows: Rows, most: Floats, only: Flags | None = None) -> Rows:
    """The rows with an upper limit; those left out by `only` vanish."""
    if only is None or bool(only.all()):
        return Rows(rows.row, rows.column, rows.factor, rows.least, most)
    number = np.cumsum(only) - 1
    kept = only[rows.row]
    return Rows(number[rows.row[kept]], rows.column[kept], rows.factor[kept], rows.least[only],
                most[only])  # fmt: skip


def one_person_per_role(c: Candidates, posts: Posts, start: int) -> Rows:
    """A chosen visit takes exactly one person in the role, any other none."""
    n, m = c.count, len(posts.visit)
    row = np.concatenate([posts.visit, np.arange(n)])
    column = np.concatenate([start + np.arange(m), np.arange(n)])
    factor = np.concatenate([np.ones(m), -np.ones(n)])
    return Rows(row, column, factor, np.zeros(n), np.zeros(n))


def visits_of_a_population(c: Candidates) -> Rows:
    """No more events than the visits that a population bears."""
    _, rows = grouped(c.plant, np.arange(c.count), np.ones(c.count))
    plants = np.unique(c.plant)
    return at_most(rows, c.season.visits[plants].astype(np.float64))


def days_apart(c: Candidates) -> Rows:
    """Of all visits of a population within its spacing at most one (largest windows only)."""
    row: list[int] = []
    column: list[int] = []
    count = 0
    bounds = np.flatnonzero(np.diff(c.plant)) + 1
    for first, last in zip([0, *bounds], [*bounds, c.count], strict=True):
        plant = int(c.plant[first]) if c.count else 0
        if first == last or c.season.visits[plant] < 2:
            continue
        days = c.day[first:last]
        ends = np.searchsorted(days, days + c.season.problem.populations[plant].apart)
        for k in range(len(days)):
            if ends[k] - k > 1 and (k == 0 or ends[k] > ends[k - 1]):
                row += [count] * int(ends[k] - k)
                column += range(int(first) + k, int(first + ends[k]))
                count += 1
    return Rows(np.array(row, dtype=np.int64), np.array(column, dtype=np.int64),
                np.ones(len(row)), np.full(count, -INFINITY), np.ones(count))  # fmt: skip


def _everybody(c: Candidates, at: Layout) -> tuple[Ints, Ints, Ints]:
    """Person, day and column of every post of both roles."""
    person = np.concatenate([c.leads.person, c.collectors.person])
    day = c.day[np.concatenate([c.leads.visit, c.collectors.visit])]
    return person, day, np.arange(at.leads, at.past_target)


def one_event_a_day(c: Candidates, at: Layout) -> Rows:
    """Nobody is on two events, or in both roles of one, on a day."""
    person, day, column = _everybody(c, at)
    keys, rows = grouped(person * c.season.days + day, column, np.ones(len(column)))
    shared = np.bincount(rows.row, minlength=len(keys)) > 1
    return at_most(rows, np.ones(len(keys)), shared)


def days_a_month(c: Candidates, at: Layout) -> Rows:
    """Nobody is on more events in a calendar month than they agreed to."""
    person, day, column = _everybody(c, at)
    months = c.season.month_count
    keys, rows = grouped(person * months + c.season.month[day], column, np.ones(len(column)))
    cap = c.season.cap[keys // months, keys % months].astype(np.float64)
    return at_most(rows, cap, np.bincount(rows.row, minlength=len(keys)) > cap)


def value_past_target(c: Candidates, at: Layout) -> Rows:
    """What exceeds a target is counted apart, at less value."""
    targets = len(c.season.wanted)
    row = np.concatenate([c.season.target[c.plant], np.arange(targets)])
    column = np.concatenate([np.arange(c.count), at.past_target + np.arange(targets)])
    factor = np.concatenate([c.yields(), -np.ones(targets)])
    most = c.season.wanted - c.season.frozen_target
    return Rows(row, column, factor, np.full(targets, -INFINITY), most)


def value_past_first(c: Candidates, at: Layout) -> Rows:
    """What exceeds a population's own amount is counted apart, at less value."""
    plants = len(c.season.amount)
    row = np.concatenate([c.plant, np.arange(plants)])
    column = np.concatenate([np.arange(c.count), at.past_plant + np.arange(plants)])
    factor = np.concatenate([c.yields(), -np.ones(plants)])
    rows = Rows(row, column, factor, np.full(plants, -INFINITY), np.full(plants, INFINITY))
    again = (c.season.visits > 1) | (c.season.frozen_plant > 0)
    return at_most(rows, c.season.amount - c.season.frozen_plant, again)


def crew_arcs(c: Candidates) -> tuple[Ints, Ints]:
    """Visit and cell of every way to find crew, where it could run short.

    A visit that is reached by a cell with enough people for all visits that could draw on that
    cell on that day needs no rows.
    """
    near = [cells for cells, _ in c.season.by_cell]
    counts = np.array([len(near[p]) for p in c.plant], dtype=np.int64)
    visit = np.repeat(np.arange(c.count), counts)
    cell = np.concatenate([near[p] for p in c.plant]) if c.count else np.zeros(0, dtype=np.int64)
    there = c.season.crew[cell, c.day[visit]]
    some = (there > 0) & (c.need()[visit] > 0)
    visit, cell, there = visit[some], cell[some], there[some]
    key = cell * c.season.days + c.day[visit]
    keys, group = np.unique(key, return_inverse=True)
    drawn = np.bincount(group, weights=c.need()[visit], minlength=len(keys))
    plenty = np.zeros(c.count, dtype=np.bool_)
    plenty[visit[there >= drawn[group]]] = True
    short = ~plenty[visit]
    return visit[short].astype(np.int64), cell[short].astype(np.int64)


def crew_needed(c: Candidates, at: Layout, visit: Ints) -> Rows:
    """A chosen visit draws exactly the crew that it needs."""
    keys, rows = grouped(visit, at.crew + np.arange(len(visit)), np.ones(len(visit)))
    n = len(keys)
    return Rows(
        np.concatenate([rows.row, np.arange(n)]),
        np.concatenate([rows.column, keys]),
        np.concatenate([rows.factor, -c.need()[keys].astype(np.float64)]),
        np.zeros(n),
        np.zeros(n),
    )


def crew_there(c: Candidates, at: Layout, visit: Ints, cell: Ints) -> Rows:
    """No cell sends more people on a day than can be counted on."""
    keys, rows = grouped(
        cell * c.season.days + c.day[visit], at.crew + np.arange(len(visit)), np.ones(len(visit))
    )
    days = c.season.days
    return at_most(rows, c.season.crew[keys // days, keys % days].astype(np.float64))
