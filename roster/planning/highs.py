"""One run of the solver HiGHS on the model or on some of its columns."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from roster.planning.model import INFINITY, Model
from roster.planning.season import Flags, Floats, Ints

if TYPE_CHECKING:
    import highspy

SMALLEST_GAP = 1e-10
UNKNOWN = 1e15

IDLE = ("mip_heuristic_run_feasibility_jump", "mip_heuristic_run_rins", "mip_heuristic_run_rens",
        "mip_heuristic_run_root_reduced_cost", "mip_heuristic_run_zi_round",
        "mip_heuristic_run_shifting", "mip_detect_symmetry", "mip_allow_restart")  # fmt: skip
"""What the solver leaves out where only a bound is wanted."""


@dataclass(frozen=True)
class Task:
    """What to solve: which columns, which of them at 1, whole or not, and how long to try."""

    columns: Flags
    whole: bool = True
    start: Floats | None = None
    fixed: Flags | None = None
    seconds: float = INFINITY
    nodes: int | None = None
    seed: int = 0
    effort: float = 0.05
    gap: float = 0.0


@dataclass(frozen=True)
class Outcome:
    """What came out: values of all columns if a plan was found, and the bound for these columns."""

    values: Floats | None
    bound: float
    optimal: bool
    reason: str
    reduced: Floats
    prices: Floats


@dataclass
class Listener:
    """What a run tells while it works."""

    must_stop: Callable[[], bool]
    bound: Callable[[float], None] | None = None
    plan: Callable[[Floats], None] | None = None


def available() -> bool:
    """Whether the solver is installed."""
    return importlib.util.find_spec("highspy") is not None


def run(model: Model, task: Task, listener: Listener | None = None) -> Outcome:
    """Solve the model on the task's columns; the others stay 0."""
    solver = _quiet()
    _options(solver, task)
    solver.passModel(_lp(model, task))
    chosen = np.flatnonzero(task.columns)
    if task.start is not None:
        solver.setSolution(len(chosen), np.arange(len(chosen), dtype=np.int32),
                           task.start[chosen])  # fmt: skip
    if listener is not None:
        _listen(solver, model, chosen, listener)
    solver.run()
    return _outcome(solver, model, task, chosen)


def _quiet() -> highspy.Highs:
    import highspy

    class Quiet(highspy.Highs):
        """Says nothing on standard output, not even its name."""

        def enableCallbacks(self) -> None:  # noqa: N802 - the solver's name
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return Quiet()  # type: ignore[no-untyped-call]


def _options(solver: highspy.Highs, task: Task) -> None:
    options: dict[str, bool | float | str] = {
        "output_flag": False, "threads": 1, "solver": "simplex", "random_seed": task.seed,
        "mip_rel_gap": max(task.gap, SMALLEST_GAP), "mip_abs_gap": SMALLEST_GAP,
        "mip_heuristic_effort": task.effort, "mip_feasibility_tolerance": 1e-7,
    }  # fmt: skip
    if task.effort == 0:
        options |= dict.fromkeys(IDLE, False)
    if task.seconds < INFINITY:
        options["time_limit"] = task.seconds
    if task.nodes is not None:
        options["mip_max_nodes"] = task.nodes
    for name, value in options.items():
        solver.setOptionValue(name, value)


def _lp(model: Model, task: Task) -> highspy.HighsLp:
    import highspy

    rows, kept = model.rows, task.columns[model.rows.column]
    number = np.cumsum(task.columns) - 1
    row, column, factor = rows.row[kept], number[rows.column[kept]], rows.factor[kept]
    order = np.argsort(column, kind="stable")
    lp = highspy.HighsLp()
    n, m = int(task.columns.sum()), len(rows.least)
    lp.num_col_, lp.num_row_ = n, m
    lp.sense_ = highspy.ObjSense.kMaximize
    lp.offset_ = model.constant
    lp.col_cost_ = model.gain[task.columns]
    lp.col_lower_, lp.col_upper_ = np.zeros(n), model.upper[task.columns]
    if task.fixed is not None:
        lp.col_lower_ = task.fixed[task.columns].astype(np.float64)
    lp.row_lower_, lp.row_upper_ = rows.least, rows.most
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(np.bincount(column, minlength=n))])
    lp.a_matrix_.index_ = row[order].astype(np.int32)
    lp.a_matrix_.value_ = factor[order]
    if task.whole:
        kinds = highspy.HighsVarType
        lp.integrality_ = [
            kinds.kInteger if whole else kinds.kContinuous for whole in model.whole[task.columns]
        ]
    return lp


def _listen(solver: highspy.Highs, model: Model, chosen: Ints, listener: Listener) -> None:
    told_bound, told_plan = listener.bound, listener.plan

    def stop(event: highspy.HighsCallbackEvent) -> None:
        if listener.must_stop():
            event.interrupt()

    def stop_mip(event: highspy.HighsCallbackEvent) -> None:
        bound = event.data_out.mip_dual_bound
        if told_bound is not None and abs(bound) < UNKNOWN:
            told_bound(bound)
        stop(event)

    solver.cbMipInterrupt.subscribe(stop_mip)
    solver.cbSimplexInterrupt.subscribe(stop)
    if told_plan is not None:

        def plan(event: highspy.HighsCallbackEvent) -> None:
            values = np.zeros(model.layout.end)
            values[chosen] = event.data_out.mip_solution
            told_plan(values)

        solver.cbMipImprovingSolution.subscribe(plan)


def _outcome(solver: highspy.Highs, model: Model, task: Task, chosen: Ints) -> Outcome:
    import highspy

    told, status = solver.getInfo(), solver.getModelStatus()
    statuses = highspy.HighsModelStatus
    optimal = status == statuses.kOptimal
    feasible = told.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values, reduced, prices = None, np.zeros(model.layout.end), np.zeros(0)
    solution = solver.getSolution()
    if feasible:
        values = np.zeros(model.layout.end)
        values[chosen] = np.array(solution.col_value)
    if not task.whole and optimal:
        reduced[chosen] = np.array(solution.col_dual)
        prices = np.array(solution.row_dual)
    bound = told.mip_dual_bound if task.whole else told.objective_function_value
    if not task.whole and not optimal:
        bound = INFINITY
    reason = {statuses.kOptimal: "done", statuses.kTimeLimit: "time",
              statuses.kSolutionLimit: "nodes", statuses.kInterrupt: "interrupt"}  # fmt: skip
    return Outcome(values, float(bound), optimal, reason.get(status, str(status)), reduced, prices)
