"""What is derived for each event: numbers and findings of its newest crew check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import Date, bindparam, exists, or_, select

from roster.domain.reasons import Finding, Level
from roster.store.models.events import event, event_summary
from roster.store.packed import packed, unpacked
from roster.store.unit import Unit


@dataclass(frozen=True)
class Numbers:
    """What an event's summary counts: placed and waiting people, cleared leads, data collectors
    and adults on the crew, and how many are missing to the minimum."""

    placed: int = 0
    waiting: int = 0
    leads: int = 0
    collectors: int = 0
    adults: int = 0
    short: int = 0


@dataclass(frozen=True)
class Summary:
    """The kept numbers and findings (stops and cautions) of one event."""

    event: int
    day: date
    numbers: Numbers
    findings: tuple[Finding, ...]
    checked_at: datetime


class AtRisk(NamedTuple):
    """An event to come with too few cleared adults or without a cleared lead."""

    event: int
    day: date
    short: int
    leads: int


_AT_RISK = (
    select(event_summary.c.event, event_summary.c.day, event_summary.c.short, event_summary.c.leads)
    .where(
        event_summary.c.day.between(bindparam("first", type_=Date), bindparam("last", type_=Date)),
        event_summary.c.stops > 0,  # both are stops: the index leaves few to look at
        or_(event_summary.c.short > 0, event_summary.c.leads == 0),
        exists().where(
            event.c.id == event_summary.c.event,
            event.c.stage.in_(("draft", "open", "ready", "under_way")),
            event.c.kind.in_(("collecting", "site_check")),
        ),
    )
    .order_by(event_summary.c.day, event_summary.c.event)
)


class Summaries:
    """Written whenever an event, its spots, leads or people's papers change; never edited."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def put(self, number: int, day: date, numbers: Numbers, findings: Sequence[Finding]) -> None:
        """Keep the newest check of an event in place of the one before."""
        worth = [f for f in findings if f.level is not Level.CLEAR]
        self.unit.run(event_summary.delete().where(event_summary.c.event == number))
        self.unit.run(
            event_summary.insert().values(
                event=number,
                day=day,
                **vars(numbers),
                stops=sum(f.level is Level.STOP for f in worth),
                cautions=sum(f.level is Level.CAUTION for f in worth),
                findings=packed(worth),
                checked_at=self.unit.at,
            )
        )

    def at_risk(self, first: date, last: date) -> list[AtRisk]:
        """Events in the field between two days, last included, that lack people or a lead."""
        rows = self.unit.run(_AT_RISK, {"first": first, "last": last})
        return [AtRisk._make(row) for row in rows.fetchall()]

    def of(self, number: int) -> Summary | None:
        """The kept check of one event, or None if it was never checked."""
        s = event_summary.c
        row = self.unit.run(select(event_summary).where(s.event == number)).one_or_none()
        if row is None:
            return None
        counted = Numbers(row.placed, row.waiting, row.leads, row.collectors, row.adults, row.short)
        kept = tuple(unpacked(row.findings))
        return Summary(row.event, row.day, counted, kept, row.checked_at)
