"""Who was told of an event by phone, by whom, and the numbers of guardians."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import delete, or_, select

from roster.store.models.events import told_by_phone
from roster.store.models.people import guardian, person
from roster.store.rows import made
from roster.store.unit import Unit


@dataclass(frozen=True)
class Call:
    """A person was told by phone, when the change `n` was the newest; by whom."""

    person: int
    n: int
    at: datetime
    by_name: str | None


@dataclass(frozen=True)
class GuardianNumber:
    """A guardian in force, to be called for a minor."""

    person: int
    name: str
    phone: str


class PhoneLists:
    """Keeps ticks of phone lists: one a person and change."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def calls(self, event: int) -> dict[int, Call]:
        """The newest call to each person of an event."""
        t = told_by_phone.c
        rows = self.unit.run(
            select(t.person, t.n, t.at, person.c.name.label("by_name"))
            .outerjoin(person, person.c.id == t.by)
            .where(t.event == event)
            .order_by(t.n)
        )
        return {row.person: made(Call, row) for row in rows}

    def add(self, event: int, who: int, n: int) -> None:
        """This person was told of the change `n` by the actor, now."""
        self.unit.run(
            told_by_phone.insert().values(
                event=event, person=who, n=n, by=self.unit.actor.person, at=self.unit.at
            )
        )

    def remove(self, event: int, who: int) -> int:
        """No call to this person counts; how many there were."""
        t = told_by_phone.c
        gone = self.unit.run(delete(told_by_phone).where(t.event == event, t.person == who))
        return int(gone.rowcount)

    def guardians(self, people: Collection[int], day: date) -> list[GuardianNumber]:
        """The guardians in force that day of each of these people."""
        g = guardian.c
        rows = self.unit.run(
            select(g.person, g.name, g.phone)
            .where(
                g.person.in_(people), g.from_on <= day, or_(g.until_on.is_(None), g.until_on > day)
            )
            .order_by(g.id)
        )
        return [made(GuardianNumber, row) for row in rows]
