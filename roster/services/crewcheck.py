"""The crew check: made from what is on record, kept in the event's summary, shown to its lead."""

from __future__ import annotations

from dataclasses import dataclass

from roster.domain.crew import crew_check, shortfall
from roster.domain.events import Stage, duty_reasons
from roster.domain.people import Actor, Role
from roster.domain.reasons import Finding, Level
from roster.domain.spots import SpotState
from roster.services.access import require
from roster.services.crew_facts import Crew, crew
from roster.store.event_values import EventRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.summary import Numbers
from roster.store.transaction import read


@dataclass(frozen=True)
class CrewCheck:
    """The check of an event as pages and the command line show it.

    `findings` hold what is missing of duty person and stand-in too, stops first.
    """

    event: EventRow
    spots: tuple[SpotRow, ...]
    findings: tuple[Finding, ...]
    minimum: int
    adults: int

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that keep the crew at home."""
        return tuple(f for f in self.findings if f.level is Level.STOP)

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """The findings that need care."""
        return tuple(f for f in self.findings if f.level is Level.CAUTION)

    @property
    def clear(self) -> tuple[Finding, ...]:
        """The rules that are met."""
        return tuple(f for f in self.findings if f.level is Level.CLEAR)


def findings_in(store: Store, event_id: int) -> tuple[Finding, ...]:
    """Land and crew, on who is placed, or on the day on who came; stops first."""
    return findings_of(crew(store, event_id))


def findings_if_all_say_yes(store: Store, event_id: int) -> tuple[Finding, ...]:
    """The same as if everybody who was asked again after a move had said yes."""
    return findings_of(crew(store, event_id, all_yes=True))


def findings_of(known: Crew) -> tuple[Finding, ...]:
    """The same for a crew that was read already."""
    return crew_check(known.facts, known.members)


def refresh(store: Store, event_id: int) -> None:
    """Work out an event's summary anew; in the transaction of whatever changed it."""
    known = crew(store, event_id)
    if Stage(known.land.event.stage).is_over:
        store.summary.put(event_id, known.land.event.day, Numbers(), ())
        return
    store.summary.put(event_id, known.land.event.day, _numbers(known), findings_of(known))


def numbers_in(store: Store, event_id: int) -> Numbers:
    """The numbers of an event's summary as they are worked out now."""
    return _numbers(crew(store, event_id))


def _numbers(known: Crew) -> Numbers:
    members = known.members
    return Numbers(
        placed=sum(s.is_live for s in known.spots),
        waiting=sum(s.state == SpotState.WAITING for s in known.spots),
        leads=sum(m.role is Role.LEAD and m.is_cleared for m in members),
        collectors=sum(m.role is Role.DATA_COLLECTOR and m.is_cleared for m in members),
        adults=sum(m.counts for m in members),
        short=shortfall(known.facts, members),
    )


def refresh_for_person(store: Store, person_id: int) -> None:
    """The summaries of every event to come that a person is on or waits for."""
    for event_id in store.spots.events_to_check(store.spots.same_person(person_id)):
        refresh(store, event_id)


def check(actor: Actor, event_id: int) -> CrewCheck:
    """The whole check of an event; for its staff, lead, data collector and duty person."""

    def body(store: Store) -> CrewCheck:
        store.unit.actor = actor
        require(store, "event", event_id, "staff", "lead", "duty")
        return check_in(store, event_id)

    return read(body)


def check_in(store: Store, event_id: int) -> CrewCheck:
    """The same inside another use case."""
    known = crew(store, event_id)
    found = list(findings_of(known))
    if known.facts.kind.in_the_field:
        missing = duty_reasons(store.events.get(event_id))
        found = [Finding(Level.STOP, reason) for reason in missing] + found
    return CrewCheck(
        known.land.event,
        known.spots,
        tuple(sorted(found, key=lambda f: list(Level).index(f.level))),
        known.facts.minimum,
        sum(m.counts for m in known.members),
    )
