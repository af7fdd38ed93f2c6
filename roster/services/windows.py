"""Use cases of an expected window: the board of its days, and who could come on which."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from roster.domain import geo, window
from roster.domain.crew import CrewRules
from roster.domain.errors import RuleBroken
from roster.domain.events import Event, EventKind
from roster.domain.people import Actor, Role
from roster.domain.person_facts import PersonFacts, TrainingRules, comes_of_age
from roster.domain.reasons import Fact, Reason
from roster.domain.spots import SpotState
from roster.domain.window import BoardDay, Someone, Span, board_day, days_between
from roster.services import clock, spots
from roster.services.access import require
from roster.services.lead_ranking import LOOKED_AT
from roster.services.plants import window_of
from roster.store.event_values import EventRow
from roster.store.lead_values import Reach
from roster.store.places import SiteRow
from roster.store.plant_values import PopulationRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read, write
from roster.store.window_rows import SpanRow

LINES = (Role.LEAD, Role.CREW_MEMBER)


@dataclass(frozen=True)
class Ticked:
    """Somebody who asked to come, with the days they ticked."""

    person: int
    name: str
    phone: str | None
    days: frozenset[date]


@dataclass(frozen=True)
class Board:
    """The board of an event's window; `lead` is who agreed to lead already."""

    event: EventRow
    populations: tuple[PopulationRow, ...]
    days: tuple[BoardDay, ...]
    best: BoardDay | None
    people: tuple[Ticked, ...]
    lead: str
    minimum: int


def board(actor: Actor, event_id: int) -> Board:
    """What speaks for each day of the window, for staff; RuleBroken once the day is fixed."""

    def body(store: Store) -> Board:
        store.unit.actor = actor
        require(store, "event", event_id, "staff")
        row = store.events.row(event_id)
        if row.date_state == "fixed":
            raise RuleBroken([Reason("day_already_fixed", {"event": event_id})])
        return _board(store, row)

    return read(body)


def _board(store: Store, row: EventRow) -> Board:
    site = store.places.site(row.site)
    asked = [s for s in store.spots.of_event(row.id) if s.state == SpotState.ASKED]
    ticks = store.events.ticks(row.id)
    agreed = [a for a in store.leads.asks(row.id) if a.state == "agreed" and a.role == Role.LEAD]
    crew = _crew(store, row, site, asked, ticks)
    leads = _leads(store, row, site, [a.person for a in agreed])
    populations = tuple(store.places.populations_of_event(row.id))
    ready = [w for p in populations if (w := window_of(p)) is not None]
    least = _minimum(row)
    today = clock.today(row.time_zone)
    days = tuple(
        board_day((day, today), [w.chance_on(day) for w in ready], crew, leads, least)
        for day in days_between(row.day, row.last_day)
    )
    people = tuple(
        Ticked(s.person, s.name, s.phone, ticks.get(s.person, frozenset())) for s in asked
    )
    lead = agreed[0].name if agreed else ""
    return Board(row, populations, days, window.best_day(days), people, lead, least)


def _minimum(row: EventRow) -> int:
    if row.kind not in (EventKind.COLLECTING, EventKind.SITE_CHECK):
        return row.minimum_crew
    rules = CrewRules()
    covered = bool(row.coverage) and row.minutes_to_signal == 0
    least = rules.minimum_with_coverage if covered else rules.minimum_without
    if row.kind == EventKind.SITE_CHECK:
        least = rules.minimum_site_check
    return max(row.minimum_crew, least)


def _crew(
    store: Store,
    row: EventRow,
    site: SiteRow,
    asked: Sequence[SpotRow],
    ticks: dict[int, frozenset[date]],
) -> list[Someone]:
    roots = {s.root for s in asked}
    held = store.events.cleared_spans(roots, LINES, row.day, row.last_day)
    busy = store.events.busy_between(roots, row.day, row.last_day)
    return [
        Someone(
            person=s.root,
            name=s.name,
            cleared=_of(held, s.root, Role.CREW_MEMBER),
            busy=frozenset(busy.get(s.root, ())),
            ticked=ticks.get(s.person, frozenset()),
            minor_until=_of_age(s, site.majority_age),
        )
        for s in asked
    ]


def _of_age(one: SpotRow, majority_age: int) -> date:
    """The day from which somebody is of age; unknown counts as never."""
    known = PersonFacts(one.root, one.name, TrainingRules(), one.born_on, one.of_age_on)
    return comes_of_age(known, majority_age) or date.max


def _leads(store: Store, row: EventRow, site: SiteRow, agreed: list[int]) -> list[Someone]:
    """Who could lead: the one who agreed, else the nearest who are cleared as it begins or ends."""
    people = list(agreed)
    if not agreed:
        at = geo.unit_vector(site.lat, site.lon)
        near = [
            n.person
            for day in (row.day, row.last_day)
            for n in store.leads.cleared(Reach(Role.LEAD, day, at), LOOKED_AT)
        ]
        people = list(dict.fromkeys(near))
    held = store.events.cleared_spans(people, LINES, row.day, row.last_day)
    busy = store.events.busy_between(people, row.day, row.last_day)
    gone = store.events.away_spans(people, row.day, row.last_day)
    rows = {r.person: r for r in store.leads.rows(people)}
    return [
        Someone(
            person=p,
            name=rows[p].name,
            lead=_of(held, p, Role.LEAD),
            busy=frozenset(busy.get(p, ())),
            away=_of(gone, p, ""),
            weekdays=None if agreed else rows[p].weekdays,
        )
        for p in people
        if p in rows
    ]


def _of(rows: Sequence[SpanRow], person: int, role: str) -> tuple[Span, ...]:
    mine = (r for r in rows if r.person == person and r.role == role)
    return tuple(Span(r.from_on, r.until_on) for r in mine)


@dataclass(frozen=True)
class MyWindow:
    """An event whose day is not fixed, as somebody sees it who could come; `ticked` so far."""

    event: EventRow
    days: tuple[date, ...]
    ticked: frozenset[date]
    is_on: bool


def my_window(actor: Actor, event_id: int) -> MyWindow:
    """The days that the signed-in person may tick; RuleBroken once the day is fixed."""

    def body(store: Store) -> MyWindow:
        row = store.events.row(event_id)
        _must_be_open(store.events.get(event_id))
        mine = store.spots.one(event_id, actor.person or 0)
        is_on = mine is not None and mine.state == SpotState.ASKED
        ticked = store.events.ticks(event_id).get(actor.person or 0, frozenset())
        today = clock.today(row.time_zone)
        days = tuple(d for d in days_between(row.day, row.last_day) if d >= today)
        return MyWindow(row, days, ticked, is_on)

    return read(body)


def tick(
    actor: Actor,
    event_id: int,
    person: int,
    wanted: Sequence[date],
    operation: str | None = None,
) -> list[str]:
    """Say on which days of the window a person could come; no day at all takes the wish back.

    For the person, or for staff after a call. Gives the days. Whether they may come is judged on
    the first day ticked, and again when the day is fixed.
    """

    def body(store: Store) -> list[str]:
        event = store.events.locked(event_id)
        spots.require_own(store, event_id, person)
        _must_be_open(event)
        days = window.chosen_days(wanted, days_between(event.first_day, event.last_day))
        _bring(store, event, person, days)
        store.events.set_ticks(event_id, person, days)
        told = [d.isoformat() for d in days]
        after = {"person": person, "days": ", ".join(told)}
        store.unit.note("ticked_days", "event", event_id, region=event.region, after=after)
        return told

    return write(body, actor=actor, operation=operation)


def _must_be_open(event: Event) -> None:
    if event.is_fixed:
        raise RuleBroken([Reason("day_already_fixed", {"event": event.id})])
    if not event.stage.takes_sign_ups:
        facts: dict[str, Fact] = {"event": event.id, "stage": event.stage}
        raise RuleBroken([Reason("takes_no_sign_ups", facts)])


def _bring(store: Store, event: Event, person: int, days: Sequence[date]) -> None:
    """The wish itself: made with the first tick, taken back with the last."""
    mine = store.spots.one(event.id, person)
    asks = mine is not None and mine.state == SpotState.ASKED
    if days and not asks:
        spots.sign_up_in(store, event, person, Role.CREW_MEMBER, days[0])
    elif not days and mine is not None and asks:
        store.spots.change(mine, SpotState.WITHDRAWN, "no day ticked")
