"""Two things timed side by side, in CPU time, so that a busy machine weighs on both alike."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from roster.measure.lines import Line

ROUNDS = 7


@dataclass(frozen=True)
class Pair:
    """CPU seconds of both sides, round by round, and the limit that their ratio must keep."""

    name: str
    db: str
    n: int
    above: Sequence[float]
    below: Sequence[float]
    at_most: float | None = None
    at_least: float | None = None

    def ratios(self) -> list[float]:
        """One ratio a round."""
        return [a / b for a, b in zip(self.above, self.below, strict=True)]

    def verdict(self) -> str:
        """PASS if every round keeps the limit, FAIL if none does, else UNSURE."""
        kept = [
            (self.at_most is None or r <= self.at_most)
            and (self.at_least is None or r >= self.at_least)
            for r in self.ratios()
        ]
        if all(kept):
            return "PASS"
        return "UNSURE" if any(kept) else "FAIL"

    def line(self, wrong: str | None = None) -> Line:
        """The line to print; `wrong` names a check of both sides that failed: then FAIL."""
        ratios = self.ratios()
        limit = self.at_most if self.at_most is not None else self.at_least or 0.0
        more: dict[str, object] = {
            "above_ms": f"{median(self.above) * 1000:.3g}",
            "below_ms": f"{median(self.below) * 1000:.3g}",
            "load": f"{os.getloadavg()[0]:.1f}",
        }
        if wrong is not None:
            more["wrong"] = wrong
        verdict = "FAIL" if wrong is not None else self.verdict()
        middle = median(ratios)
        return Line(
            self.name, self.name, self.db, self.n, middle, limit, verdict,
            min(ratios), max(ratios), more,
        )  # fmt: skip


def interleaved(
    above: Callable[[], float], below: Callable[[], float], rounds: int = ROUNDS
) -> tuple[list[float], list[float]]:
    """Seconds of both, taken in turn; which goes first changes with the round."""
    found: tuple[list[float], list[float]] = ([], [])
    for i in range(rounds):
        for side in (0, 1) if i % 2 == 0 else (1, 0):
            found[side].append((above, below)[side]())
    return found
