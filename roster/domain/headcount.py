"""The head count: who went out, who is back, and which minor was handed over to whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from roster.domain.reasons import Fact, Finding, Level, Reason


class Way(StrEnum):
    """What was counted."""

    OUT = "out"
    IN = "in"
    HANDED_OVER = "handed_over"


@dataclass(frozen=True)
class Counted:
    """One person who came, with the last count: what, when, and for a minor to whom."""

    spot: int
    name: str
    is_minor: bool = False
    way: Way | None = None
    at: datetime | None = None
    to_whom: str = ""

    @property
    def is_out(self) -> bool:
        """Whether the person was counted out and not in again."""
        return self.way is Way.OUT

    @property
    def is_home(self) -> bool:
        """Whether the count of this person has ended: in, and a minor handed over."""
        return self.way is Way.HANDED_OVER or (self.way is Way.IN and not self.is_minor)


def against(counted: Counted, way: Way, to_whom: str = "") -> list[Reason]:
    """Why this count cannot be: nobody comes in who was not out, only minors are handed over."""
    facts: dict[str, Fact] = {"name": counted.name}
    if way is Way.OUT:
        return [Reason("already_counted_out", facts)] if counted.is_out else []
    if way is Way.IN:
        return [] if counted.is_out else [Reason("not_counted_out", facts)]
    if not counted.is_minor:
        return [Reason("only_minors_handed_over", facts)]
    if counted.way is not Way.IN:
        return [Reason("not_counted_in", facts)]
    return [] if to_whom.strip() else [Reason("handed_over_to_nobody", facts)]


def out_now(crew: Iterable[Counted]) -> list[Counted]:
    """Those who are still out."""
    return [c for c in crew if c.is_out]


def to_hand_over(crew: Iterable[Counted]) -> list[Counted]:
    """Minors who are in and not handed over yet; the lead and one more adult wait with them."""
    return [c for c in crew if c.is_minor and c.way is Way.IN]


def closing_findings(crew: Iterable[Counted]) -> tuple[Finding, ...]:
    """Whether the event may be closed: everybody in, every minor handed over.

    Common practice, no source: nobody is lost at the end of the day, and a minor's day ends at the
    hand-over, not at the car park.
    """
    everybody = list(crew)
    found = []
    for code, people in (
        ("still_out", out_now(everybody)),
        ("minor_not_handed_over", to_hand_over(everybody)),
        ("never_counted", [c for c in everybody if c.way is None]),
    ):
        if people:
            said: Mapping[str, Fact] = {
                "n": len(people), "names": "; ".join(c.name for c in people)
            }  # fmt: skip
            found.append(Finding(Level.STOP, Reason(code, said)))
    n = sum(c.is_home for c in everybody)
    return tuple(found) or (Finding(Level.CLEAR, Reason("everybody_home", {"n": n})),)
