"""The days of an expected window: which may be, who ticked which, and who is free on them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import or_, select

from roster.store.models.events import could_come, event_day, spot
from roster.store.models.people import away, busy, held
from roster.store.unit import Unit


@dataclass(frozen=True)
class SpanRow:
    """A half-open span of days of one person; `role` is empty for days away."""

    person: int
    role: str
    from_on: date
    until_on: date | None


class WindowRows:
    """Possible days, ticks, and what stands on those days, each in one statement."""

    unit: Unit

    def set_possible_days(self, number: int, days: Sequence[date]) -> None:
        """The days on which an event may be, in place of the old ones; ticks are kept."""
        self.unit.run(event_day.delete().where(event_day.c.event == number))
        if days:
            self.unit.run(event_day.insert(), [{"event": number, "day": d} for d in days])

    def ticks(self, number: int) -> dict[int, frozenset[date]]:
        """The days that each person ticked, of those who still ask to come."""
        c = could_come.c
        rows = self.unit.run(
            select(c.person, c.day)
            .join(spot, (spot.c.event == c.event) & (spot.c.person == c.person))
            .where(c.event == number, spot.c.state == "asked")
            .order_by(c.person, c.day)
        )
        found: dict[int, set[date]] = {}
        for row in rows:
            found.setdefault(row.person, set()).add(row.day)
        return {person: frozenset(days) for person, days in found.items()}

    def set_ticks(self, number: int, person: int, days: Sequence[date]) -> None:
        """The days one person could come, in place of what they ticked before."""
        c = could_come.c
        self.unit.run(could_come.delete().where(c.event == number, c.person == person))
        if days:
            values = [{"event": number, "person": person, "day": d} for d in days]
            self.unit.run(could_come.insert(), values)

    def cleared_spans(
        self, roots: Collection[int], roles: Collection[str], first: date, last: date
    ) -> list[SpanRow]:
        """When these people are cleared for these roles, spans that touch the days."""
        h = held.c
        rows = self.unit.run(
            select(h.root, h.role, h.from_on, h.until_on).where(
                h.root.in_(roots),
                h.role.in_(roles),
                h.from_on <= last,
                or_(h.until_on.is_(None), h.until_on > first),
            )
        )
        return [SpanRow(r.root, r.role, r.from_on, r.until_on) for r in rows]

    def away_spans(self, people: Collection[int], first: date, last: date) -> list[SpanRow]:
        """When these people said they are away."""
        a = away.c
        rows = self.unit.run(
            select(a.person, a.from_on, a.until_on).where(
                a.person.in_(people), a.from_on <= last, a.until_on > first
            )
        )
        return [SpanRow(r.person, "", r.from_on, r.until_on) for r in rows]

    def busy_between(self, roots: Collection[int], first: date, last: date) -> dict[int, set[date]]:
        """On which of the days these people are on an event."""
        b = busy.c
        rows = self.unit.run(
            select(b.root, b.day).where(b.root.in_(roots), b.day.between(first, last))
        )
        found: dict[int, set[date]] = {}
        for row in rows:
            found.setdefault(row.root, set()).add(row.day)
        return found
