"""Keeps the best plan and the best bound while the lanes run, and says when to stop."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

from roster.planning.problem import Limits, relative_gap

CLOSE = 1e-9
FINISHING = 0.02
"""Share of the time kept for crew, check and reasons, at most 2 seconds."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the planner is; value and bound are None until there is one."""

    seconds: float
    value: float | None
    bound: float | None

    @property
    def gap(self) -> float | None:
        """How much better the best plan can be at most."""
        if self.value is None or self.bound is None:
            return None
        return relative_gap(self.value, self.bound)


Report = Callable[[Progress], bool]
"""Told of progress now and then; answers whether to go on."""


class Watch:
    """One run of the planner, watched by all its lanes; may be used from several threads."""

    def __init__(self, limits: Limits, report: Report | None = None) -> None:
        self.limits = limits
        self.value: float | None = None
        self.bound: float | None = None
        self.bound_from = ""
        self.asked_to_stop = False
        self.finished = False
        self._report = report
        self._start = time.monotonic()
        self._told = -1.0
        self._lock = threading.Lock()

    def seconds(self) -> float:
        """Wall time since the start."""
        return time.monotonic() - self._start

    def left(self) -> float:
        """Wall time until the search has to end, never below 0."""
        whole = self.limits.seconds
        return max(0.0, whole - min(2.0, FINISHING * whole) - self.seconds())

    def offer_value(self, value: float) -> None:
        """A plan of that value is in hand."""
        with self._lock:
            if self.value is None or value > self.value:
                self.value = value

    def offer_bound(self, bound: float, came_from: str) -> None:
        """No plan is worth more than that."""
        with self._lock:
            if self.bound is None or bound < self.bound:
                self.bound, self.bound_from = bound, came_from

    def gap_reached(self) -> bool:
        """Whether value and bound are as near as asked."""
        if self.value is None or self.bound is None:
            return False
        gap = relative_gap(self.value, self.bound)
        return gap is not None and gap <= max(self.limits.gap, CLOSE)

    def must_stop(self) -> bool:
        """Whether a lane should end now: asked to, out of time, done or near enough.

        Under a node limit a lane does not look at what the other one found.
        """
        self._tell()
        if self.asked_to_stop or self.left() <= 0:
            return True
        return self.limits.nodes is None and (self.finished or self.gap_reached())

    def _tell(self) -> None:
        now = self.seconds()
        if self._report is None or now - self._told < 0.5 or not self._lock.acquire(blocking=False):
            return
        try:
            self._told = now
            if not self._report(Progress(now, self.value, self.bound)):
                self.asked_to_stop = True
        finally:
            self._lock.release()
