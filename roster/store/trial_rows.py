"""Trials that were sent: which events, how each stood before, and what is out in the field."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func, select, update

from roster.store.models.events import lead_ask, trial, trial_event
from roster.store.models.field import head_count
from roster.store.unit import Unit


@dataclass(frozen=True)
class TrialRow:
    """A trial that was sent."""

    id: int
    act: str
    days: int | None
    lead: int | None
    why: str
    by: int | None
    sent_at: datetime
    undone_at: datetime | None


@dataclass(frozen=True)
class TrialEventRow:
    """One event of a trial: the versions it was left in, and how it stood before (JSON)."""

    event: int
    n: int
    crew_version: int
    before: str


class TrialRows:
    """Adds and reads trials."""

    unit: Unit

    def add_trial(self, values: Mapping[str, Any], events: Collection[TrialEventRow]) -> int:
        """A trial that is sent now, with its events; gives its number."""
        number = self.unit.insert(
            trial, by=self.unit.actor.person, sent_at=self.unit.at, undone_at=None, **values
        )
        self.unit.run(trial_event.insert(), [{"trial": number, **vars(e)} for e in events])
        return number

    def trial(self, number: int) -> TrialRow | None:
        """One trial."""
        row = self.unit.run(select(trial).where(trial.c.id == number)).one_or_none()
        return None if row is None else TrialRow(**row._mapping)

    def trial_events(self, number: int) -> list[TrialEventRow]:
        """The events of a trial, by number."""
        c = trial_event.c
        rows = self.unit.run(
            select(c.event, c.n, c.crew_version, c.before)
            .where(c.trial == number)
            .order_by(c.event)
        )
        return [TrialEventRow(**row._mapping) for row in rows]

    def end_trial(self, number: int) -> None:
        """Note that a trial was taken back."""
        self.unit.run(update(trial).where(trial.c.id == number).values(undone_at=self.unit.at))

    def put_asks(self, states: Mapping[int, str]) -> None:
        """Bring questions to leads back to the states they had, closed ones first."""
        for number, state in sorted(states.items(), key=lambda one: one[1] in ("asked", "agreed")):
            self.unit.run(update(lead_ask).where(lead_ask.c.id == number).values(state=state))

    def people_out(self, events: Collection[int]) -> dict[int, int]:
        """How many people of each of these events were last counted out."""
        h = head_count.c
        last = select(func.max(h.id)).where(h.event.in_(events)).group_by(h.event, h.spot)
        rows = self.unit.run(
            select(h.event, func.count().label("n"))
            .where(h.id.in_(last), h.way == "out")
            .group_by(h.event)
        )
        return {row.event: row.n for row in rows}
