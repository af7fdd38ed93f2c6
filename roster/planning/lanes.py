"""Two lanes side by side: one proves a bound on the whole model, one looks for plans.

The bound comes from all columns only: what is proven of a cut-down model is no bound. The plan
comes from the columns whose reduced cost in the relaxed model is small; when those are solved,
more columns are let in. The two share nothing but the watch and the best plan.
"""

from __future__ import annotations

import threading
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from roster.planning import highs
from roster.planning.highs import Listener, Outcome, Task
from roster.planning.model import Model
from roster.planning.season import Flags, Floats
from roster.planning.watch import Watch

FULL = "full model, HiGHS branch and cut"
RELAXED = "full model without whole numbers, HiGHS simplex"
SMALL = 2000
"""A model with fewer columns is solved whole, in one lane."""

WIDTH = 0.1
"""Reduced cost, as a share of a middling visit's worth, up to which a column is let in first."""


@dataclass
class Best:
    """The best values of the columns so far."""

    model: Model
    watch: Watch
    values: Floats | None = None
    value: float = -np.inf

    def __post_init__(self) -> None:
        self._lock = threading.Lock()

    def offer(self, values: Floats) -> None:
        """Keep the values if they are worth more."""
        rounded = np.where(self.model.whole, np.round(values), values)
        value = float(self.model.gain @ rounded) + self.model.constant
        with self._lock:
            if value > self.value:
                self.values, self.value = rounded, value
        self.watch.offer_value(value)


@dataclass(frozen=True)
class Run:
    """What both lanes need."""

    model: Model
    watch: Watch
    best: Best
    seconds: float

    def left(self) -> float:
        """Seconds that a lane may still take."""
        return max(0.0, self.seconds - self.watch.seconds())

    def task(self, columns: Flags) -> Task:
        """A task on those columns within the limits."""
        limits = self.watch.limits
        return Task(columns, seconds=self.left(), nodes=limits.nodes, seed=limits.seed,
                    start=self.best.values)  # fmt: skip


def improve(
    model: Model, watch: Watch, start: Floats | None, executor: Executor | None = None
) -> tuple[Floats | None, str]:
    """The best values found within the limits, and what ended the search."""
    best = Best(model, watch)
    if start is not None:
        best.offer(start)
    run = Run(model, watch, best, watch.limits.seconds * 0.96 - min(1.0, watch.limits.seconds / 20))
    everything = np.ones(model.layout.end, dtype=np.bool_)
    if model.layout.end < SMALL:
        outcome = bound_lane(run, everything, effort=0.05)
        return best.values, _ended(watch, [outcome])
    relaxed = highs.run(model, replace(run.task(everything), whole=False, start=None),
                        Listener(watch.must_stop))  # fmt: skip
    watch.offer_bound(relaxed.bound, RELAXED)
    if not relaxed.optimal or watch.must_stop():
        return best.values, _ended(watch, [relaxed])
    own = executor or ThreadPoolExecutor(2)
    try:
        lanes = [own.submit(bound_lane, run, everything, 0.0), own.submit(plan_lane, run, relaxed)]
        outcomes = [lane.result() for lane in lanes]
    finally:
        if executor is None:
            own.shutdown()
    return best.values, _ended(watch, outcomes)


def bound_lane(run: Run, everything: Flags, effort: float) -> Outcome:
    """Prove a bound on the whole model; plans that turn up are kept."""
    watch = run.watch

    def bound(value: float) -> None:
        watch.offer_bound(value, FULL)

    task = replace(run.task(everything), effort=effort, gap=0.0)
    outcome = highs.run(run.model, task, Listener(watch.must_stop, bound, run.best.offer))
    watch.offer_bound(outcome.bound, FULL)
    if outcome.values is not None:
        run.best.offer(outcome.values)
    if outcome.optimal:
        watch.finished = True
    return outcome


def plan_lane(run: Run, relaxed: Outcome) -> Outcome:
    """Look for plans among the columns of small reduced cost, then among more."""
    model, watch = run.model, run.watch
    width = WIDTH * float(np.median(np.abs(model.gain[: model.layout.leads])))
    while True:
        columns = (relaxed.reduced > -width) | ~model.whole
        if run.best.values is not None:
            columns |= run.best.values > 0.5
        outcome = highs.run(model, run.task(columns), Listener(watch.must_stop, None,
                                                               run.best.offer))  # fmt: skip
        if outcome.values is not None:
            run.best.offer(outcome.values)
        if bool(columns.all()) and outcome.optimal:
            watch.offer_bound(outcome.bound, FULL)
            watch.finished = True
        if not outcome.optimal or bool(columns.all()) or watch.must_stop() or run.left() < 1:
            return outcome
        width *= 2


def _ended(watch: Watch, outcomes: list[Outcome]) -> str:
    if watch.asked_to_stop:
        return "stopped"
    if watch.finished:
        return "done"
    if watch.gap_reached():
        return "gap"
    reasons = {one.reason for one in outcomes}
    return "nodes" if reasons <= {"nodes", "done"} else "time"
