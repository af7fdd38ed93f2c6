"""What reminders are due for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select

from roster.store.models.events import event
from roster.store.rows import made
from roster.store.unit import Unit


@dataclass(frozen=True)
class ToRemind:
    """An event on a fixed day that begins soon."""

    event: int
    n: int
    day: date
    starts_at: datetime


class Reminders:
    """Reads events by when they begin."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def fixed_events(self, after: datetime, until: datetime) -> list[ToRemind]:
        """Open or ready events on a fixed day that begin after one instant, until another."""
        e = event.c
        rows = self.unit.run(
            select(e.id.label("event"), e.n, e.day, e.starts_at)
            .where(
                e.stage.in_(("open", "ready")),
                e.date_state == "fixed",
                e.starts_at > after,
                e.starts_at <= until,
            )
            .order_by(e.starts_at, e.id)
        )
        return [made(ToRemind, row) for row in rows]
