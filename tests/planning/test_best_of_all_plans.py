"""Tiny random seasons: the plan is worth what trying everything finds, with and without solver."""

from __future__ import annotations

import os

import pytest

from roster.planning.problem import Limits
from roster.planning.reading import read_problem
from roster.planning.solve import solve
from roster.planning.verify import faults, worth
from tests.planning.tiny import best_value, season

HOW_MANY = int(os.environ.get("ROSTER_TINY_SEASONS", "40"))


@pytest.mark.parametrize("seed", range(HOW_MANY))
def test_the_plan_is_as_good_as_the_best_of_all_plans(seed: int) -> None:
    document = season(seed)
    problem = read_problem(document)
    plan = solve(problem, Limits(seconds=30))
    assert faults(problem, plan.events) == []
    assert plan.value == pytest.approx(worth(problem, plan.events), abs=1e-9)
    best = best_value(document)
    assert plan.value == pytest.approx(best, abs=1e-6)
    assert plan.bound == pytest.approx(best, abs=1e-6)
    assert plan.bound >= plan.value


@pytest.mark.parametrize("seed", range(HOW_MANY))
def test_without_the_solver_plan_and_bound_lie_on_either_side_of_the_best(seed: int) -> None:
    document = season(seed)
    problem = read_problem(document)
    plan = solve(problem, Limits(seconds=30), use_solver=False)
    assert faults(problem, plan.events) == []
    assert plan.value <= best_value(document) + 1e-9 <= plan.bound + 2e-9


def test_the_random_seasons_try_every_rule() -> None:
    problems = [read_problem(season(seed)) for seed in range(40)]
    assert any(p.frozen() for p in problems)
    assert any(len(p.promised) > len(p.frozen()) for p in problems)
    assert any(len(set(p.months())) > 1 for p in problems)
    plans = [solve(p, Limits(seconds=30)) for p in problems]
    assert any(plan.frozen_breaks_rule for plan in plans)
    reasons = {u.reason for plan in plans for u in plan.unserved}
    assert len(reasons) >= 7
    assert sum(len(plan.events) for plan in plans) > 40
