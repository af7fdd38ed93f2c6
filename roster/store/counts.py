"""The head count: each count is a row; the last one of a person says where they are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from roster.domain.headcount import Way
from roster.store.models.field import head_count
from roster.store.unit import Unit


@dataclass(frozen=True)
class CountRow:
    """One count of one person."""

    spot: int
    way: Way
    at: datetime
    to_whom: str


class Counts:
    """Adds counts and reads the last of each person."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add(self, event: int, spots: Iterable[int], way: Way, to_whom: str = "") -> None:
        """Count these people in one way, now, by the actor."""
        rows = [
            {
                "event": event,
                "spot": s,
                "way": way.value,
                "to_whom": to_whom or None,
                "at": self.unit.at,
                "by": self.unit.actor.person,
            }
            for s in spots
        ]
        if rows:
            self.unit.run(head_count.insert(), rows)

    def last(self, event: int) -> dict[int, CountRow]:
        """The last count of each person of an event, by spot."""
        h = head_count.c
        newest = select(func.max(h.id)).where(h.event == event).group_by(h.spot)
        rows = self.unit.run(select(h.spot, h.way, h.at, h.to_whom).where(h.id.in_(newest)))
        return {r.spot: CountRow(r.spot, Way(r.way), r.at, r.to_whom or "") for r in rows}

    def all_of(self, event: int) -> list[CountRow]:
        """Every count of an event, oldest first."""
        h = head_count.c
        rows = self.unit.run(
            select(h.spot, h.way, h.at, h.to_whom).where(h.event == event).order_by(h.id)
        )
        return [CountRow(r.spot, Way(r.way), r.at, r.to_whom or "") for r in rows]
