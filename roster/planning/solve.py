"""Plans a season: a first plan and bound without the solver, then the two lanes."""

from __future__ import annotations

import numpy as np

from roster.planning import candidates, highs, lagrange, lanes, objective
from roster.planning.candidates import Candidates
from roster.planning.crew import day_of
from roster.planning.draft import Choice, chosen, events_of
from roster.planning.explain import reasons
from roster.planning.greedy import Greedy, by_value
from roster.planning.model import Model, build
from roster.planning.problem import Event, Limits, Plan, Problem
from roster.planning.season import Floats, Season
from roster.planning.verify import Fault, broken_frozen, faults
from roster.planning.watch import Report, Watch

ALONE = "each population alone, shared limits priced (no solver)"
NOTHING = "nothing to choose"
ROUNDS_BEFORE_SOLVER, ROUNDS_ALONE = 60, 600


def solve(
    problem: Problem,
    limits: Limits = Limits(),  # noqa: B008 - frozen
    report: Report | None = None,
    use_solver: bool = True,
) -> Plan:
    """The best season that can be found within the limits, with what is proven about it.

    `report` is told of value and bound about twice a second and stops the search by answering
    False; the best so far is kept. Without the solver HiGHS the plan is greedy and the bound
    wider. A plan that the independent check refuses is never given.
    """
    watch = Watch(limits, report)
    season = Season(problem)
    found = candidates.find(season)
    tried = [events_of(season, [])]
    watch.offer_value(objective.value_of(season, tried[0]))
    if found.count == 0:
        watch.offer_bound(objective.value_of(season, tried[0]), NOTHING)
        return _plan(found, tried, watch, "done")
    with_solver = use_solver and highs.available()
    first = _first(found, watch, ROUNDS_BEFORE_SOLVER if with_solver else ROUNDS_ALONE)
    tried += [events_of(season, one) for one in first]
    for events in tried:
        watch.offer_value(objective.value_of(season, events))
    stopped = "time" if watch.left() <= 0 else "done"
    if with_solver and not watch.must_stop():
        model = build(found)
        best = max(first, key=lambda one: objective.value_of(season, events_of(season, one)))
        values, stopped = lanes.improve(found, model, watch, as_values(found, model, best))
        if values is not None:
            tried.append(events_of(season, chosen(found, model, values)))
    elif watch.asked_to_stop:
        stopped = "stopped"
    return _plan(found, tried, watch, stopped)


def _first(found: Candidates, watch: Watch, rounds: int) -> list[list[Choice]]:
    """Greedy plans by value and by prices, and a bound from the prices."""
    plain = Greedy(found, by_value(found)).fill()
    value = objective.value_of(found.season, events_of(found.season, plain))
    watch.offer_value(value)
    priced = lagrange.relax(found, value, rounds, watch.must_stop)
    watch.offer_bound(priced.bound, ALONE)
    return [plain, Greedy(found, priced.prices).fill()]


def _accepted(problem: Problem, season: Season, tried: list[list[Event]]) -> list[Event]:
    """The best of the tried that the independent check accepts."""
    refused: list[Fault] = []
    for events in sorted(tried, key=lambda one: -objective.value_of(season, one)):
        refused = faults(problem, events)
        if not refused:
            return events
    raise RuntimeError(f"the planner's check refused every plan: {refused}")


def _plan(found: Candidates, tried: list[list[Event]], watch: Watch, stopped: str) -> Plan:
    season, problem = found.season, found.season.problem
    events = _accepted(problem, season, tried)
    value = objective.value_of(season, events)
    bound = max(value, watch.bound if watch.bound is not None else value)
    unserved = reasons(found, events)
    return Plan(tuple(events), value, bound, watch.bound_from, stopped, round(watch.seconds(), 3),
                tuple(unserved), tuple(broken_frozen(problem, events)))  # fmt: skip


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
