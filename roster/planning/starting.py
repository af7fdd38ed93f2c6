"""A plan as values of the model's columns: where the solver may start from."""

from __future__ import annotations

import numpy as np

from roster.planning import objective
from roster.planning.candidates import Candidates
from roster.planning.crew import day_of
from roster.planning.draft import Choice
from roster.planning.model import Model
from roster.planning.season import Floats


def as_values(found: Candidates, model: Model, choices: list[Choice]) -> Floats:
    """The columns of the model as a plan sets them: a place to start from."""
    at, season = model.layout, found.season
    values = np.zeros(at.end)
    number = {
        (int(p), int(d)): v for v, (p, d) in enumerate(zip(found.plant, found.day, strict=True))
    }
    visit = {number[one.plant, one.day]: one for one in choices}
    for start, posts, role in ((at.leads, found.leads, "lead"),
                               (at.collectors, found.collectors, "collector")):  # fmt: skip
        for v, one in visit.items():
            values[start + objective.post_of(posts, v, getattr(one, role))] = 1.0
    values[list(visit)] = 1.0
    yields = values[: at.leads] * found.yields()
    reached = np.bincount(season.target[found.plant], weights=yields, minlength=len(season.wanted))
    values[at.past_target : at.past_plant] = np.maximum(
        0.0, reached + season.frozen_target - season.wanted
    )
    taken = np.bincount(found.plant, weights=yields, minlength=len(season.amount))
    over = np.maximum(0.0, taken + season.frozen_plant - season.amount)
    values[at.past_plant : at.crew] = np.where(
        (season.visits > 1) | (season.frozen_plant > 0), over, 0.0
    )
    _set_crew(found, model, visit, values)
    return values


def _set_crew(found: Candidates, model: Model, visit: dict[int, Choice], values: Floats) -> None:
    arc = {
        (int(v), int(k)): model.layout.crew + i
        for i, (v, k) in enumerate(zip(model.flow_visit, model.flow_cell, strict=True))
    }
    limited = set(model.flow_visit.tolist())
    season = found.season
    for day in {one.day for one in visit.values()}:
        today = {v: one.plant for v, one in visit.items() if one.day == day and v in limited}
        plan = day_of(season, day, today)
        for v, plant in today.items():
            plan.add(v, season.problem.populations[plant].crew)
        for v, draw in plan.given.items():
            for cell, n in draw.items():
                values[arc[v, cell]] = n
