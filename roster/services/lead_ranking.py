"""Who can be asked to lead an event, best first, with reasons; and why nobody can."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain import geo
from roster.domain.matching import (
    CLOSE_EVENTS_DAYS,
    Candidate,
    LadderFacts,
    Match,
    Ranking,
    Rung,
    km_of_cosine,
    nearest_town_minutes,
    place_of,
    rank,
    travel_minutes,
    why_nobody,
)
from roster.domain.people import Actor, Role
from roster.domain.reasons import Reason
from roster.services import clearance
from roster.services.access import require
from roster.store.event_values import EventRow
from roster.store.lead_values import Doing, LeadRow, Near, Reach
from roster.store.places import SiteRow
from roster.store.registry import Store
from roster.store.transaction import read

LOOKED_AT = 200
"""So many of the nearest who are cleared are compared; more would not change the first page."""


@dataclass(frozen=True)
class LeadList:
    """Matches for a role on an event, best first; who was left out; why nobody, if nobody."""

    event: EventRow
    role: str
    matches: tuple[Match, ...]
    cleared: int
    not_cleared: int
    left_out: dict[Rung, int]
    ladder: tuple[Reason, ...]
    as_crow_flies: bool


def ranked(actor: Actor, event_id: int, limit: int = 50, role: str = Role.LEAD) -> LeadList:
    """The ranking for the event's page and the command line; staff of its region only."""

    def body(store: Store) -> LeadList:
        store.unit.actor = actor
        require(store, "event", event_id, "staff")
        return ranked_in(store, event_id, limit, role)

    return read(body)


def ranked_in(store: Store, event_id: int, limit: int = 50, role: str = Role.LEAD) -> LeadList:
    """The ranking inside another use case; a fixed number of statements however many people."""
    event = store.events.row(event_id)
    site = store.places.site(event.site)
    near = store.leads.cleared(
        Reach(role, event.day, geo.unit_vector(site.lat, site.lon)), LOOKED_AT
    )
    candidates = _candidates(store, event, site, near)
    ranking = rank(candidates)
    ever, on_day = store.leads.counts(role, event.day)
    return LeadList(
        event=event,
        role=role,
        matches=ranking.matches[:limit],
        cleared=on_day,
        not_cleared=ever - on_day,
        left_out={rung: len(people) for rung, people in ranking.left_out.items()},
        ladder=_ladder(store, ranking, event, role, ever),
        as_crow_flies=not site.drive_minutes,
    )


@dataclass(frozen=True)
class _Known:
    """What is known of the people compared, each read in one statement."""

    away: set[int]
    said_no: set[int]
    knows: set[int]
    first_aid: set[int]
    led: dict[int, int]
    doing: dict[int, list[Doing]]


def _known(store: Store, event: EventRow, people: list[int]) -> _Known:
    day = event.day
    month_last = day.replace(day=monthrange(day.year, day.month)[1])
    first = min(day.replace(day=1), day - timedelta(days=CLOSE_EVENTS_DAYS - 1))
    doing: dict[int, list[Doing]] = {}
    for one in store.leads.doing(people, first, max(month_last, event.last_day)):
        if one.event != event.id:
            doing.setdefault(one.person, []).append(one)
    return _Known(
        away=store.leads.away_on(people, day),
        said_no={a.person for a in store.leads.asks(event.id) if a.state == "declined"},
        knows=store.leads.knowing(people, store.leads.taxa_of(event.id)),
        first_aid=store.leads.holding(people, Role.FIRST_AIDER, day),
        led=store.leads.led_at(people, event.site),
        doing=doing,
    )


def _candidates(store: Store, event: EventRow, site: SiteRow, near: list[Near]) -> list[Candidate]:
    people = [n.person for n in near]
    rows = {row.person: row for row in store.leads.rows(people)}
    known = _known(store, event, people)
    return [
        _candidate(event, site, (one.dot, rows[one.person]), known)
        for one in near
        if one.person in rows
    ]


def _candidate(
    event: EventRow, site: SiteRow, one: tuple[float | None, LeadRow], known: _Known
) -> Candidate:
    dot, row = one
    day, person = event.day, row.person
    km = None if dot is None else km_of_cosine(dot)
    theirs = known.doing.get(person, [])
    week = timedelta(days=CLOSE_EVENTS_DAYS)
    eve = day - timedelta(days=1)
    return Candidate(
        person=person,
        name=row.name,
        km=km,
        minutes=_minutes(row, site, km),
        free=person not in known.away and _weekday_suits(row, day),
        said_no=person in known.said_no,
        reach_minutes=row.minutes_drive,
        load=sum((d.day.year, d.day.month) == (day.year, day.month) for d in theirs),
        per_month=row.per_month,
        knows_taxon=person in known.knows,
        led_here=known.led.get(person, 0),
        first_aider=person in known.first_aid,
        close_events=sum(timedelta() < day - d.day < week for d in theirs),
        busy_with=_on_day(theirs, event),
        event_day_before=next((d.event for d in theirs if d.last_day == eve), None),
    )


def _minutes(row: LeadRow, site: SiteRow, km: float | None) -> int | None:
    if km is None or row.x is None or row.y is None or row.z is None:
        return None
    home = place_of(row.x, row.y, row.z)
    drive = nearest_town_minutes(site.drive_minutes or "", home)
    return travel_minutes(km, unpaved=bool(site.unpaved), drive_minutes=drive)


def _weekday_suits(row: LeadRow, day: date) -> bool:
    """Bit 0 of the rule is Monday."""
    return row.weekdays is None or bool(row.weekdays >> day.weekday() & 1)


def _on_day(theirs: list[Doing], event: EventRow) -> int | None:
    return next(
        (d.event for d in theirs if d.day <= event.last_day and event.day <= d.last_day), None
    )


def _ladder(
    store: Store, ranking: Ranking, event: EventRow, role: str, ever: int
) -> tuple[Reason, ...]:
    if ranking.matches:
        return ()
    name, step = "", ""
    if not ranking.left_out:
        for person, called in store.leads.lapsed(role, event.day, 1):
            verdict = clearance.verdict_in(store, person, Role(role), event.day)
            missing = next((r for r in verdict.reasons), None)
            name, step = called, str((missing and missing.facts.get("step")) or "")
    facts = LadderFacts(event.id, event.day, role, ever, name if step else "", step)
    return why_nobody(ranking, facts)
