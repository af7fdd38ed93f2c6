"""The field sheet: everything that a lead needs of one event, read at one moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from roster.domain.briefing import topic_key
from roster.domain.event_times import expected_back_at, overdue_clock_at
from roster.domain.headcount import Counted, closing_findings
from roster.domain.people import Actor, Role
from roster.domain.reasons import Finding, Level, Reason
from roster.services import briefings, crewcheck, fieldday
from roster.services.access import require
from roster.services.crew_facts import Crew, crew
from roster.store.briefings import BriefingRow, HeardRow
from roster.store.collections import Block
from roster.store.event_values import EventRow
from roster.store.places import SiteRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read


@dataclass(frozen=True)
class OnSheet:
    """One person of the crew. `until` is the last day cleared in the role; None: no end, or not."""

    spot: SpotRow
    cleared: bool
    until: date | None
    first_aid: bool
    is_minor: bool
    age: int | None
    heard: HeardRow | None
    count: Counted | None
    fetchers: tuple[str, ...]

    @property
    def is_here(self) -> bool | None:
        """Whether the person came; None while nobody has said."""
        return {"came": True, "absent": False}.get(self.spot.state)


@dataclass(frozen=True)
class Sheet:
    """An event as its lead takes it along; `as_of` is the moment it was read."""

    event: EventRow
    place: SiteRow
    as_of: datetime
    people: tuple[OnSheet, ...]
    findings: tuple[Finding, ...]
    minimum: int
    adults: int
    topics: tuple[Reason, ...]
    briefing: BriefingRow | None
    on_briefing: tuple[Finding, ...]
    closing: tuple[Finding, ...]
    back_at: datetime
    clock_at: datetime
    populations: tuple[str, ...]
    block: Block | None

    @property
    def spoken(self) -> tuple[tuple[str, Reason], ...]:
        """The topics of the briefing, each with the key that its tick sends."""
        return tuple((topic_key(t), t) for t in self.topics)

    @property
    def came(self) -> tuple[OnSheet, ...]:
        """Those who are marked as here."""
        return tuple(p for p in self.people if p.is_here)

    @property
    def out(self) -> tuple[OnSheet, ...]:
        """Those who are out now."""
        return tuple(p for p in self.people if p.count and p.count.is_out)

    @property
    def home(self) -> tuple[OnSheet, ...]:
        """Those whose day has ended: in, and a minor handed over."""
        return tuple(p for p in self.people if p.count and p.count.is_home)

    @property
    def to_hand_over(self) -> tuple[OnSheet, ...]:
        """Minors who are in and not handed over yet."""
        return tuple(p for p in self.people if p.is_minor and p.count and p.count.way == "in")

    @property
    def unbriefed(self) -> tuple[OnSheet, ...]:
        """Those who came and have not heard the newest briefing."""
        return tuple(p for p in self.came if p.heard is None)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Everything that keeps the crew from going, or from going on."""
        return tuple(f for f in (*self.findings, *self.on_briefing) if f.level is Level.STOP)


def sheet(actor: Actor, event_id: int) -> Sheet:
    """The sheet of an event; for its lead, data collector, duty person and staff."""

    def body(store: Store) -> Sheet:
        store.unit.actor = actor
        require(store, "event", event_id, "staff", "lead", "duty")
        return _sheet(store, event_id)

    return read(body)


def _sheet(store: Store, event_id: int) -> Sheet:
    known = crew(store, event_id)
    row, place = known.land.event, known.land.place
    check = crewcheck.check_in(store, event_id)
    told = briefings.told(store, event_id)
    counts = fieldday.counted(store, known)
    back = expected_back_at(row.ends_at, row.walk_out_minutes)
    return Sheet(
        event=row,
        place=place,
        as_of=store.unit.at,
        people=_people(store, known, told.heard, counts),
        findings=check.findings,
        minimum=check.minimum,
        adults=check.adults,
        topics=briefings.topics_of(store, known),
        briefing=told.briefing,
        on_briefing=tuple(briefings.findings_of(store, known)),
        closing=closing_findings(counts.values()),
        back_at=back,
        clock_at=overdue_clock_at(back, row.minutes_to_signal),
        populations=tuple(p.title for p in known.land.populations),
        block=store.collections.block_of(event_id),
    )


def _people(
    store: Store, known: Crew, heard: dict[int, HeardRow], counts: dict[int, Counted]
) -> tuple[OnSheet, ...]:
    order = {Role.LEAD: 0, Role.DATA_COLLECTOR: 1}
    rows = [s for s in known.spots if s.id in known.everybody]
    minors = [s for s in rows if known.everybody[s.id].is_minor]
    fetch = fieldday.fetchers(store, store.events.get(known.land.event.id), minors)
    found = []
    for s in sorted(rows, key=lambda s: (order.get(s.as_role, 2), s.name)):
        member = known.everybody[s.id]
        found.append(
            OnSheet(
                spot=s,
                cleared=member.is_cleared,
                until=member.cleared.get(s.as_role),
                first_aid=Role.FIRST_AIDER in member.cleared,
                is_minor=member.is_minor,
                age=member.age,
                heard=heard.get(s.id),
                count=counts.get(s.id),
                fetchers=fetch.get(s.id, ()),
            )
        )
    return tuple(found)
