"""The lines that bench and drill print."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Line:
    """One figure against its limit; for a drill the ratio is the count of what went wrong."""

    goal: str
    name: str
    db: str
    n: int
    ratio: float
    limit: float
    verdict: str
    low: float | None = None
    high: float | None = None
    more: dict[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        low = self.ratio if self.low is None else self.low
        high = self.ratio if self.high is None else self.high
        told = (
            f"goal={self.goal} name={self.name} db={self.db} n={self.n} ratio={self.ratio:.4g} "
            f"min={low:.4g} max={high:.4g} limit={self.limit:.4g} verdict={self.verdict}"
        )
        return " ".join([told, *(f"{k}={v}" for k, v in self.more.items())])


def counted(goal: str, name: str, db: str, n: int, wrong: dict[str, int], **more: object) -> Line:
    """A line for a drill: every count in `wrong` must be 0."""
    total = sum(wrong.values())
    verdict = "PASS" if total == 0 else "FAIL"
    return Line(goal, name, db, n, total, 0, verdict, more={**wrong, **more})
