"""Season plans of made-up seasons: how near the best, how far above a plan by hand.

Each seed gives three lines: the gap that is proven, and the plan's value over that of the by-hand
plan and of the value greedy. Plan and baselines are checked and added up by the independent check.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from resource import RUSAGE_SELF, getrusage

from roster.measure.lines import Line
from roster.measure.plan_baselines import by_hand, value_greedy
from roster.measure.plan_problems import SIZES, make
from roster.planning.lanes import lingering
from roster.planning.problem import Limits, Problem
from roster.planning.reading import read_problem
from roster.planning.solve import solve
from roster.planning.verify import faults, worth

SEEDS = (1, 2, 3)
SECONDS = {"plan": 90.0, "plan-national": 600.0}
GAP = {"plan": 0.01, "plan-national": 0.05}
STRETCH = {"plan": 0.0025, "plan-national": 0.03}
OVER_BY_HAND, OVER_GREEDY = 1.25, 1.05
MOST_MEMORY_GIB = 4.0


def bench(name: str = "plan", seeds: tuple[int, ...] | None = None) -> Iterator[Line]:
    """The lines of `plan` (medium size, three seeds) or `plan-national` (one seed)."""
    size = "medium" if name == "plan" else "national"
    for seed in seeds or (SEEDS if name == "plan" else SEEDS[:1]):
        yield from of_seed(name, size, seed)


def lines(people: int) -> Iterator[Line]:
    """The lines of `plan`; its size is fixed."""
    return bench("plan")


def of_seed(name: str, size: str, seed: int) -> Iterator[Line]:
    """The three lines of one season."""
    lingering(seconds=60)  # of the season before
    problem = read_problem(json.loads(json.dumps(make(seed, size))))
    start = time.monotonic()
    plan = solve(problem, Limits(seconds=SECONDS[name], gap=STRETCH[name]))
    wall = time.monotonic() - start
    value = worth(problem, plan.events)
    wrong = len(faults(problem, plan.events))
    n = SIZES[size].populations
    more: dict[str, object] = {
        "plan": f"{value:.3f}", "bound": f"{plan.bound:.3f}", "events": len(plan.events),
        "seconds": f"{wall:.1f}", "faults": wrong, "gib": f"{gib():.2f}",
        "stopped_by": plan.stopped_by, "bound_from": plan.bound_from.replace(" ", "_"),
    }  # fmt: skip
    good = wrong == 0 and wall <= SECONDS[name] and gib() <= MOST_MEMORY_GIB
    gap = plan.gap if plan.gap is not None else float("inf")
    verdict = "PASS" if good and gap <= GAP[name] else "FAIL"
    yield Line("plan", f"{name}.gap.seed{seed}", "none", n, gap, GAP[name], verdict, more=more)
    yield from _over(name, seed, problem, value)


def _over(name: str, seed: int, problem: Problem, value: float) -> Iterator[Line]:
    for method, limit in ((by_hand, OVER_BY_HAND), (value_greedy, OVER_GREEDY)):
        events = method(problem)
        other = worth(problem, events)
        ratio = value / other
        verdict = "PASS" if ratio >= limit and not faults(problem, events) else "FAIL"
        label = f"{name}.over_{method.__name__}.seed{seed}"
        more: dict[str, object] = {method.__name__: f"{other:.3f}", "events": len(events)}
        yield Line("plan", label, "none", len(problem.populations), ratio, limit, verdict,
                   more=more)  # fmt: skip


def gib() -> float:
    """The most memory that this process has held so far."""
    return getrusage(RUSAGE_SELF).ru_maxrss / 2**20
