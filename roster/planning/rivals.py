"""Who took the place of a population: it is forced into the plan, and what moves is told.

The part of the season that it touches is planned anew with it, the rest stays. What that costs is
an upper estimate of what the whole season would lose; below what the plan is short of its bound
the population may just as well have been in, and that is said instead of a rival.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from roster.planning import candidates, highs, objective
from roster.planning.candidates import Candidates, Posts
from roster.planning.draft import Choice, chosen, events_of
from roster.planning.highs import Task
from roster.planning.model import INFINITY, Model, Rows, build, joined
from roster.planning.parts import columns_of, fixed_outside
from roster.planning.problem import Event, Limits, Plan
from roster.planning.season import Flags, Ints, Season
from roster.planning.starting import as_values
from roster.planning.verify import faults

CALM = 0.02
"""Worth of every choice that stays as it was: only what must move should move."""


@dataclass(frozen=True, slots=True)
class Rivalry:
    """What taking the population in would do: its event, what it costs, what goes and comes.

    `within_gap`: it costs no more than the plan may be short of the best, so that leaving the
    population out is not proven right. `event` is None if it could not be forced in.
    """

    population: str
    event: Event | None
    cost: float
    within_gap: bool
    gone: tuple[Event, ...]
    new: tuple[Event, ...]


def force_in(season: Season, plan: Plan, population: str, limits: Limits) -> Rivalry:
    """The plan with that population in it, planned anew around it."""
    c = candidates.find(season)
    plant = season.plant_at[population]
    mine = c.plant == plant
    if not mine.any() or not highs.available():
        return Rivalry(population, None, INFINITY, False, (), ())
    model = build(c)
    values = as_values(c, model, _free_choices(season, plan))
    inside = columns_of(c, model.layout, touched(c, plan, mine))
    choice = inside | (values > 0.5) | ~model.whole
    task = Task(choice, seconds=limits.seconds, nodes=limits.nodes, seed=limits.seed,
                fixed=fixed_outside(values, inside, model.whole), gap=limits.gap)  # fmt: skip
    calm = replace(model, gain=model.gain + CALM * (values > 0.5) * model.whole)
    outcome = highs.run(_with(calm, np.flatnonzero(mine)), task)
    if outcome.values is None:
        return Rivalry(population, None, INFINITY, False, (), ())
    events = events_of(season, chosen(c, model, outcome.values))
    if faults(season.problem, events):
        raise RuntimeError("the plan with the population forced in breaks a rule")
    return _rivalry(season, plan, population, events)


def _rivalry(season: Season, plan: Plan, population: str, events: list[Event]) -> Rivalry:
    cost = plan.value - objective.value_of(season, events)
    before, after = {_told(e): e for e in plan.events}, {_told(e): e for e in events}
    gone = tuple(e for key, e in before.items() if key not in after)
    new = tuple(e for key, e in after.items() if key not in before)
    event = next((e for e in new if e.population == population), None)
    return Rivalry(population, event, cost, cost <= plan.bound - plan.value, gone, new)


def _told(e: Event) -> tuple[str, int, str, str]:
    """What people have been told: crew may come from other cells."""
    return e.population, e.day, e.lead, e.data_collector


def touched(c: Candidates, plan: Plan, mine: Flags) -> Flags:
    """The visits that share a person, a cell or the target with the population's own visits."""
    season = c.season
    plant = int(c.plant[np.flatnonzero(mine)[0]])
    same_target = season.target[c.plant] == season.target[plant]
    cells = set(season.by_cell[plant][0].tolist())
    shares = np.array([bool(cells & set(near.tolist())) for near, _ in season.by_cell], dtype=bool)
    same_cells = shares[c.plant] & np.isin(c.day, c.day[mine])
    people = {int(q) for posts in (c.leads, c.collectors) for q in posts.person[mine[posts.visit]]}
    months = np.isin(season.month[c.day], season.month[c.day[mine]])
    same_people = _with_people(c, people) & months & _in_plan(c, plan)
    return np.asarray(mine | same_target | same_cells | same_people)


def _with_people(c: Candidates, people: set[int]) -> Flags:
    found = np.zeros(c.count, dtype=np.bool_)
    wanted: Ints = np.array(sorted(people), dtype=np.int64)
    for posts in (c.leads, c.collectors):
        _mark(found, posts, wanted)
    return found


def _mark(found: Flags, posts: Posts, wanted: Ints) -> None:
    found[posts.visit[np.isin(posts.person, wanted)]] = True


def _in_plan(c: Candidates, plan: Plan) -> Flags:
    served = {(c.season.plant_at[e.population], e.day) for e in plan.events}
    pairs = zip(c.plant.tolist(), c.day.tolist(), strict=True)
    return np.array([pair in served for pair in pairs], dtype=np.bool_)


def _with(model: Model, visits: Ints) -> Model:
    """The model with the rule that one of the visits takes place."""
    n = len(visits)
    row = Rows(np.zeros(n, dtype=np.int64), visits, np.ones(n), np.ones(1), np.full(1, INFINITY))
    return replace(model, rows=joined([model.rows, row]))


def _free_choices(season: Season, plan: Plan) -> list[Choice]:
    return [
        Choice(season.plant_at[e.population], e.day, season.person_at[e.lead],
               season.person_at[e.data_collector])
        for e in plan.events
        if e.day >= season.rules.frozen_until
    ]  # fmt: skip
