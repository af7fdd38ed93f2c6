"""Limits, progress, stopping and repeating; the same promises without the solver."""

from __future__ import annotations

import subprocess
import sys

import pytest

from roster.measure.plan_baselines import by_hand, value_greedy
from roster.measure.plan_problems import make
from roster.planning.lanes import lingering
from roster.planning.problem import Limits, Problem, relative_gap
from roster.planning.reading import read_problem
from roster.planning.solve import solve
from roster.planning.verify import faults, worth
from roster.planning.watch import Progress


def small(seed: int = 2) -> Problem:
    return read_problem(make(seed, "small"))


@pytest.fixture(autouse=True)
def _no_lane_left_over() -> None:
    assert not lingering(seconds=60)


def test_the_plan_beats_both_baselines_and_lies_below_its_bound() -> None:
    problem = small()
    plan = solve(problem, Limits(seconds=20, gap=0.01))
    assert faults(problem, plan.events) == []
    assert plan.value == pytest.approx(worth(problem, plan.events), abs=1e-9)
    assert plan.value > 1.05 * worth(problem, by_hand(problem))
    assert plan.value >= worth(problem, value_greedy(problem)) - 1e-9
    assert plan.value <= plan.bound
    assert plan.gap is not None
    assert plan.gap <= 0.01
    assert plan.stopped_by in ("gap", "done")


def test_under_a_node_limit_the_same_seed_gives_the_same_plan() -> None:
    problem = small()
    once, again = (solve(problem, Limits(seconds=250, nodes=3, seed=4)) for _ in range(2))
    assert once.stopped_by != "time"
    assert (once.events, once.value, once.bound) == (again.events, again.value, again.bound)


def test_progress_is_told_and_a_no_stops_with_the_best_so_far() -> None:
    told: list[Progress] = []

    def report(progress: Progress) -> bool:
        told.append(progress)
        return progress.value is None or progress.bound is None

    problem = small()
    plan = solve(problem, Limits(seconds=60), report)
    assert told
    assert plan.stopped_by == "stopped"
    assert plan.seconds < 30
    assert plan.events
    assert faults(problem, plan.events) == []
    assert plan.bound >= plan.value


def test_no_time_still_gives_a_plan_and_a_bound() -> None:
    problem = small()
    plan = solve(problem, Limits(seconds=0))
    assert plan.stopped_by == "time"
    assert plan.events
    assert plan.bound >= plan.value


def test_without_the_solver_the_bound_is_wider_and_still_true() -> None:
    problem = small()
    alone = solve(problem, Limits(seconds=60), use_solver=False)
    best = solve(problem, Limits(seconds=20, gap=0.01))
    assert faults(problem, alone.events) == []
    assert "no solver" in alone.bound_from
    assert alone.value <= best.bound + 1e-9
    assert best.value <= alone.bound + 1e-9
    assert alone.value > worth(problem, by_hand(problem))


def test_a_season_without_anything_is_planned_as_nothing() -> None:
    document = make(2, "small")
    for p in document["populations"]:
        p["open"] = []
    plan = solve(read_problem(document), Limits(seconds=5))
    assert (plan.events, plan.value, plan.bound, plan.gap) == ((), 0.0, 0.0, 0.0)
    assert len(plan.unserved) == 40


def test_an_empty_problem_is_planned_as_nothing() -> None:
    document = make(2, "small") | {"targets": [], "populations": [], "people": [], "crew_cells": []}
    plan = solve(read_problem(document), Limits(seconds=5))
    assert (plan.events, plan.unserved, plan.gap) == ((), (), 0.0)


def test_the_gap_is_measured_against_the_value() -> None:
    assert relative_gap(200.0, 201.0) == pytest.approx(0.005)
    assert relative_gap(-2.0, -1.0) == pytest.approx(0.5)
    assert relative_gap(0.0, 1e-9) == 0.0
    assert relative_gap(0.0, 1e-8) is None


def test_reading_a_problem_loads_neither_solver_nor_arrays() -> None:
    loaded = "[m for m in ('numpy', 'highspy', 'sqlalchemy') if m in sys.modules]"
    code = f"import sys, roster.planning.reading, roster.cli.plan; print({loaded})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
