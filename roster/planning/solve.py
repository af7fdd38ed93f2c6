"""Plans a season: a first plan and bound without the solver, then the two lanes."""

from __future__ import annotations

from dataclasses import replace

from roster.planning import candidates, highs, lagrange, lanes, objective
from roster.planning.candidates import Candidates
from roster.planning.draft import Choice, chosen, events_of
from roster.planning.explain import LOST_IN_COMPETITION, ONLY_AT_A_LOSS, reasons
from roster.planning.greedy import Greedy, by_value
from roster.planning.model import build
from roster.planning.problem import Event, Limits, Plan, Problem, Unserved
from roster.planning.remedies import remedy, said
from roster.planning.season import Season
from roster.planning.starting import as_values
from roster.planning.verify import Fault, broken_frozen, faults
from roster.planning.watch import Report, Watch

ALONE = "each population alone, shared limits priced (no solver)"
NOTHING = "nothing to choose"
MOST_REMEDIES = 500
MOST_POSTS = 1_000_000
"""Beyond so many ways to fill a role the whole model does not fit: prices alone plan and bound."""

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
    posts = len(found.leads.visit) + len(found.collectors.visit)
    with_solver = use_solver and highs.available() and posts <= MOST_POSTS
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
    unserved = _with_remedies(season, reasons(found, events))
    return Plan(tuple(events), value, bound, watch.bound_from, stopped, round(watch.seconds(), 3),
                tuple(unserved), tuple(broken_frozen(problem, events)))  # fmt: skip


def _with_remedies(season: Season, unserved: list[Unserved]) -> list[Unserved]:
    """The reasons with what would do, where there are not too many to work it out."""
    if len(unserved) > MOST_REMEDIES:
        return unserved
    told = []
    for one in unserved:
        possible = one.reason in (ONLY_AT_A_LOSS, LOST_IN_COMPETITION)
        steps = () if possible else remedy(season, season.plant_at[one.population])
        would = f"; would do: {' and '.join(map(said, steps))}" if steps else ""
        told.append(replace(one, detail=one.detail + would))
    return told
