"""Two lanes side by side: one proves a bound on the whole model, one looks for plans.

The bound comes from all columns only: what is proven of a cut-down model is no bound. The plan
comes from the columns whose reduced cost in the relaxed model is small; when those are solved,
more columns are let in. They share nothing but the watch: neither hangs on the other's pace.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from roster.planning import highs
from roster.planning.candidates import Candidates
from roster.planning.highs import Listener, Outcome, Task
from roster.planning.model import Model
from roster.planning.parts import columns_of, fixed_outside, order_of, parts
from roster.planning.season import Flags, Floats
from roster.planning.watch import Watch

FULL = "full model, HiGHS branch and cut"
RELAXED = "full model without whole numbers, HiGHS simplex"
SMALL = 2000
"""A model with fewer columns is solved whole, in one lane."""

WIDTH = 0.025
"""Reduced cost, as a share of a middling visit's worth, up to which a column is let in first."""

NEAR = 0.002
"""The gap at which the first, narrowest choice of columns is left for a wider one."""

PART_WIDTH, PART_NODES, PART_GAP = 4, 5, 5e-5
"""For one part: so many times the width, so many nodes, and a gap of the whole value."""

NAME = "season plan lane"


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

    candidates: Candidates
    model: Model
    watch: Watch
    best: Best

    def task(self, columns: Flags) -> Task:
        """A task on those columns within the limits."""
        limits = self.watch.limits
        return Task(columns, seconds=self.watch.left(), nodes=limits.nodes, seed=limits.seed,
                    start=self.best.values)  # fmt: skip

    def within(self, relaxed: Outcome, width: float) -> Flags:
        """The columns that fall short by less than the width, and those of the best plan."""
        columns = (relaxed.reduced > -width) | ~self.model.whole
        if self.best.values is not None:
            columns |= self.best.values > 0.5
        return np.asarray(columns)

    def look(self, task: Task) -> Outcome:
        """Run the solver and keep what it finds."""
        listener = Listener(self.watch.must_stop, None, self.best.offer)
        outcome = highs.run(self.model, task, listener)
        if outcome.values is not None:
            self.best.offer(outcome.values)
        return outcome


def improve(
    c: Candidates, model: Model, watch: Watch, start: Floats | None
) -> tuple[Floats | None, str]:
    """The best values found within the limits, and what ended the search.

    A lane that is deep in the solver when time is up is left to itself: it ends at the solver's
    next question, and `lingering` tells whether one still works.
    """
    best, other = Best(model, watch), Best(model, watch)
    if start is not None:
        best.offer(start)
        other.offer(start)
    plans, proof = Run(c, model, watch, best), Run(c, model, watch, other)
    everything = np.ones(model.layout.end, dtype=np.bool_)
    if model.layout.end < SMALL:
        lanes = [lambda: bound_lane(proof, everything, 0.05)]
    else:
        lanes = [lambda: plan_lane(plans, everything), lambda: bound_lane(proof, everything, 0.0)]
    outcomes = _side_by_side(watch, lanes)
    better = other if other.value > best.value else best
    return better.values, _ended(watch, outcomes)


def _side_by_side(watch: Watch, lanes: list[Callable[[], Outcome]]) -> list[Outcome]:
    """What the lanes found, those that ended in time; an error in one is raised here."""
    outcomes: list[Outcome] = []
    errors: list[BaseException] = []

    def run(lane: Callable[[], Outcome]) -> None:
        try:
            outcomes.append(lane())
        except BaseException as error:  # noqa: BLE001 - raised again by the caller
            errors.append(error)
            watch.asked_to_stop = True

    threads = [threading.Thread(target=run, args=[lane], name=NAME, daemon=True) for lane in lanes]
    for thread in threads:
        thread.start()
    for thread in threads:
        while thread.is_alive() and watch.left() > 0:
            thread.join(min(0.5, watch.left()))
            watch.must_stop()
    if errors:
        raise errors[0]
    return outcomes


def lingering(seconds: float) -> bool:
    """Whether a lane still works after waiting so long; a program may then have to be ended."""
    end = time.monotonic() + seconds
    for thread in threading.enumerate():
        if thread.name == NAME:
            thread.join(max(0.0, end - time.monotonic()))
    return any(thread.name == NAME for thread in threading.enumerate())


def relaxed_lane(run: Run, everything: Flags) -> Outcome:
    """The model without whole numbers: a bound, and what each column is short of paying."""
    task = replace(run.task(everything), whole=False, start=None)
    relaxed = highs.run(run.model, task, Listener(run.watch.must_stop))
    run.watch.offer_bound(relaxed.bound, RELAXED)
    return relaxed


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


def plan_lane(run: Run, everything: Flags) -> Outcome:
    """Look for plans among the columns of small reduced cost, part by part, then among more."""
    model, watch = run.model, run.watch
    relaxed = relaxed_lane(run, everything)
    if not relaxed.optimal:
        return relaxed
    width = WIDTH * float(np.median(np.abs(model.gain[: model.layout.leads])))
    near = NEAR
    while True:
        columns = run.within(relaxed, width)
        last = bool(columns.all())
        task = replace(run.task(columns), gap=0.0 if last else near)
        outcome = run.look(task)
        if last and outcome.optimal:
            watch.offer_bound(outcome.bound, FULL)
            watch.finished = True
        if not outcome.optimal or last or watch.must_stop() or watch.left() < 1:
            return outcome
        part_by_part(run, run.within(relaxed, PART_WIDTH * width))
        width, near = 2 * width, near / 2


def part_by_part(run: Run, columns: Flags) -> None:
    """Plan one part of the season anew, the rest as it is, until no part gives anything more."""
    c, at, watch = run.candidates, run.model.layout, run.watch
    found = [columns_of(c, at, visits) for visits in parts(c)]
    idle = 0
    while idle < len(found):
        for k in order_of(len(found), watch.limits.seed):
            if watch.must_stop() or idle >= len(found) or run.best.values is None:
                return
            values, inside = run.best.values, found[k]
            kept = fixed_outside(values, inside, run.model.whole)
            choice = (inside & columns) | (values > 0.5) | ~run.model.whole
            task = replace(run.task(choice), fixed=kept, nodes=PART_NODES, gap=PART_GAP)
            before = run.best.value
            run.look(task)
            idle = 0 if run.best.value > before + 1e-7 else idle + 1


def _ended(watch: Watch, outcomes: list[Outcome]) -> str:
    if watch.asked_to_stop:
        return "stopped"
    if watch.finished:
        return "done"
    if watch.gap_reached():
        return "gap"
    if any(one.reason == "nodes" for one in outcomes) and watch.left() > 0:
        return "nodes"
    return "time"
