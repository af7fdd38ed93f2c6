"""Briefings, who heard them, and readings; rows are only ever added."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from roster.domain.briefing import Reading, ReadingKind
from roster.store.models.field import briefing, heard, reading
from roster.store.unit import Unit


@dataclass(frozen=True)
class BriefingRow:
    """One briefing: which of the event's, on which crew, by whom, when, the topics' codes."""

    id: int
    event: int
    n: int
    crew_version: int
    given_by: int | None
    at: datetime
    topics: tuple[str, ...]


@dataclass(frozen=True)
class HeardRow:
    """One person who heard a briefing: when, and how it was acknowledged."""

    spot: int
    at: datetime
    way: str


class Briefings:
    """Adds and reads; nothing is changed."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add(self, event: int, crew_version: int, topics: Sequence[str]) -> int:
        """The next briefing of an event, given by the actor; gives its number."""
        last = select(func.max(briefing.c.n)).where(briefing.c.event == event)
        return self.unit.insert(
            briefing,
            event=event,
            n=int(self.unit.run(last).scalar() or 0) + 1,
            crew_version=crew_version,
            given_by=self.unit.actor.person,
            at=self.unit.at,
            topics=json.dumps(list(topics)),
        )

    def hear(self, number: int, spots: Iterable[int], way: str) -> None:
        """These people heard a briefing; who is on record already stays as they are."""
        known = set(self.unit.run(select(heard.c.spot).where(heard.c.briefing == number)).scalars())
        rows = [
            {"briefing": number, "spot": s, "at": self.unit.at, "way": way}
            for s in dict.fromkeys(spots)
            if s not in known
        ]
        if rows:
            self.unit.run(heard.insert(), rows)

    def newest(self, event: int) -> BriefingRow | None:
        """The newest briefing of an event, or None."""
        row = self.unit.run(
            select(briefing).where(briefing.c.event == event).order_by(briefing.c.n.desc()).limit(1)
        ).one_or_none()
        if row is None:
            return None
        topics = tuple(json.loads(row.topics))
        return BriefingRow(row.id, row.event, row.n, row.crew_version, row.given_by, row.at, topics)

    def heard_by(self, number: int) -> dict[int, HeardRow]:
        """Who heard a briefing, by spot."""
        h = heard.c
        rows = self.unit.run(select(h.spot, h.at, h.way).where(h.briefing == number))
        return {row.spot: HeardRow(row.spot, row.at, row.way) for row in rows}

    def add_reading(self, event: int, kind: ReadingKind, value: float, unit: str) -> int:
        """What the actor reads or hears now; gives its number."""
        return self.unit.insert(
            reading,
            event=event,
            kind=kind.value,
            value=value,
            unit=unit,
            at=self.unit.at,
            by=self.unit.actor.person,
        )

    def readings(self, event: int) -> list[Reading]:
        """Every reading of an event, oldest first."""
        r = reading.c
        rows = self.unit.run(
            select(r.kind, r.value, r.at).where(r.event == event).order_by(r.at, r.id)
        )
        return [Reading(ReadingKind(row.kind), row.value, row.at) for row in rows]
