"""What the page of one event shows a coordinator, in one read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.crew_member import CrewMember
from roster.domain.event_times import expected_back_at, overdue_clock_at
from roster.domain.events import (
    Event,
    EventKind,
    Move,
    Stage,
    checks_before,
    duty_reasons,
    move_allowed,
)
from roster.domain.land import Permission
from roster.domain.people import Actor, Role
from roster.domain.readiness import ReadyWindow
from roster.domain.reasons import Finding, Level
from roster.domain.spots import SpotRules
from roster.services import clock, lead_ranking
from roster.services.access import require
from roster.services.crew_facts import Crew, crew
from roster.services.crewcheck import findings_of
from roster.services.lead_ranking import LeadList
from roster.services.place_pages import chances_from, plot_start
from roster.services.plants import window_of
from roster.store.collections import CollectionRow
from roster.store.event_values import LAND_CODES, EventRow
from roster.store.lead_values import AskRow
from roster.store.places import SiteRow
from roster.store.plant_values import ObservationRow, PopulationRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read

LEADS_SHOWN = 6
JOURNAL_SHOWN = 30
CHANGEABLE = (Stage.DRAFT, Stage.OPEN, Stage.READY)


@dataclass(frozen=True)
class OnCrew:
    """One person on the crew: spot, how they stand on the day, what they answered."""

    spot: SpotRow
    member: CrewMember | None
    answer: str | None

    @property
    def last_day(self) -> date | None:
        """The last day on which they are cleared for their role, None without an end."""
        return self.member.cleared.get(self.member.role) if self.member else None


@dataclass(frozen=True)
class Readiness:
    """One population of the event with its chance on each of four weeks' days."""

    row: PopulationRow
    window: ReadyWindow | None
    first_day: date
    chances: tuple[float, ...]
    checks: tuple[ObservationRow, ...]

    def chance_on(self, day: date) -> float | None:
        """The chance ready on a day, None without a calendar."""
        return None if self.window is None else self.window.chance_on(day)


@dataclass(frozen=True)
class Act:
    """One row of the journal: when, who, the verb, and what belongs to it in words."""

    at: datetime
    who: str
    verb: str
    about: str


@dataclass(frozen=True)
class May:
    """Which acts the page offers now."""

    open: bool
    mark_ready: bool
    call_off: bool
    change: bool
    ask: bool
    blocked: tuple[Finding, ...]


@dataclass(frozen=True)
class EventPage:
    """Everything on the page of one event."""

    event: EventRow
    site: SiteRow
    findings: tuple[Finding, ...]
    minimum: int
    readiness: tuple[Readiness, ...]
    permission: Permission | None
    lists: tuple[LeadList, ...]
    asks: tuple[AskRow, ...]
    on_crew: tuple[OnCrew, ...]
    waiting: tuple[SpotRow, ...]
    gone: tuple[SpotRow, ...]
    acts: tuple[Act, ...]
    duty: tuple[tuple[int, str], ...]
    back_at: datetime
    clock_at: datetime
    now: datetime
    today: date
    may: May
    sent: int
    answered: int
    collections: tuple[CollectionRow, ...]

    @property
    def by_phone(self) -> bool:
        """Whether it is too late to offer a free spot: the waiting list is phoned, in order."""
        left = self.event.starts_at - self.now
        return left < timedelta(hours=SpotRules.offer_hours) and not left < timedelta(0)

    @property
    def by_level(self) -> dict[str, list[Finding]]:
        """The findings by level word."""
        return {lv.value: [f for f in self.findings if f.level is lv] for lv in Level}


def event_page(actor: Actor, event_id: int) -> EventPage:
    """The page of one event, for staff of its region."""

    def body(store: Store) -> EventPage:
        store.unit.actor = actor
        require(store, "event", event_id, "staff")
        return _page(store, event_id)

    return read(body)


def _page(store: Store, event_id: int) -> EventPage:
    known = crew(store, event_id)
    row, site = known.land.event, known.land.place
    event = store.events.get(event_id)
    today = clock.today(row.time_zone)
    findings = _findings(event, known)
    asks = store.leads.asks(event_id)
    answers = store.events.answers(event_id)
    back = expected_back_at(row.ends_at, row.walk_out_minutes)
    in_use = [p for p in known.land.permissions if p.holds_on(row.day, row.last_day)]
    return EventPage(
        event=row,
        site=site,
        findings=findings,
        minimum=known.facts.minimum,
        readiness=_readiness(store, known.land.populations, row),
        permission=in_use[0] if in_use else None,
        lists=_lists(store, event, asks),
        asks=tuple(asks),
        on_crew=_on_crew(known, answers),
        waiting=tuple(s for s in known.spots if s.state == "waiting"),
        gone=tuple(s for s in known.spots if s.state in ("withdrawn", "absent")),
        acts=_acts(store, event_id),
        duty=tuple(store.events.duty_choices(today)),
        back_at=back,
        clock_at=overdue_clock_at(back, row.minutes_to_signal),
        now=store.unit.at,
        today=today,
        may=_may(event, findings, today),
        sent=len(answers),
        answered=sum(answer is not None for answer in answers.values()),
        collections=tuple(store.collections.of_event(event_id)),
    )


def _findings(event: Event, known: Crew) -> tuple[Finding, ...]:
    found = list(findings_of(known))
    if event.kind.in_the_field and not event.stage.is_over:
        found += [Finding(Level.STOP, reason) for reason in duty_reasons(event)]
    return tuple(sorted(found, key=lambda f: list(Level).index(f.level)))


def _may(event: Event, findings: tuple[Finding, ...], today: date) -> May:
    def can(to: Stage, why: str = "") -> bool:
        needed = checks_before(event.kind, to)
        blocking = findings if needed else ()
        if to is Stage.OPEN:
            blocking = tuple(f for f in findings if f.reason.code in LAND_CODES)
        return move_allowed(event, Move(to, today, why), blocking)

    land = tuple(f for f in findings if f.level is Level.STOP and f.reason.code in LAND_CODES)
    return May(
        open=can(Stage.OPEN),
        mark_ready=can(Stage.READY),
        call_off=can(Stage.CALLED_OFF, "-"),
        change=event.stage in CHANGEABLE,
        ask=event.stage in CHANGEABLE and event.kind.in_the_field,
        blocked=land,
    )


def _readiness(
    store: Store, populations: tuple[PopulationRow, ...], event: EventRow
) -> tuple[Readiness, ...]:
    if event.kind != EventKind.COLLECTING and event.kind != EventKind.SITE_CHECK:
        return ()
    checks = store.places.observations_of([p.id for p in populations], event.season)
    found = []
    for row in populations:
        window = window_of(row)
        first = plot_start(window, event.day)
        if not 0 <= (event.day - first).days < 28:
            first = plot_start(None, event.day)
        seen = tuple(checks.get(row.id, ()))
        found.append(Readiness(row, window, first, chances_from(window, first), seen))
    return tuple(found)


def _lists(store: Store, event: Event, asks: list[AskRow]) -> tuple[LeadList, ...]:
    """A ranking for each role that nobody has agreed to yet, while somebody can be asked."""
    if event.stage not in CHANGEABLE or not event.kind.in_the_field:
        return ()
    agreed = {a.role for a in asks if a.state == "agreed"}
    roles = [Role.LEAD] + [Role.DATA_COLLECTOR] * (event.kind is EventKind.COLLECTING)
    return tuple(
        lead_ranking.ranked_in(store, event.id, LEADS_SHOWN, role)
        for role in roles
        if role not in agreed
    )


def _on_crew(known: Crew, answers: dict[int, str | None]) -> tuple[OnCrew, ...]:
    members = {m.person: m for m in known.members}
    order = {"lead": 0, "data_collector": 1}
    live = [s for s in known.spots if s.state in ("placed", "offered", "asked", "came")]
    live.sort(key=lambda s: (order.get(s.role, 2), s.id))
    return tuple(OnCrew(s, members.get(s.root), answers.get(s.person)) for s in live)


def _acts(store: Store, event_id: int) -> tuple[Act, ...]:
    lines = store.journal.of("event", event_id, limit=JOURNAL_SHOWN)
    told = [(line, {field: after for field, _, after in line.values}) for line in lines]
    people = {int(p) for _, values in told if (p := values.get("person") or "").isdigit()}
    names = store.invitations.names(people)
    found = []
    for line, values in told:
        person = values.get("person") or ""
        name = names.get(int(person), "") if person.isdigit() else ""
        name = "" if name == line.actor else name
        about = ", ".join(part for part in (name, values.get("why") or "") if part)
        found.append(Act(line.at, line.actor, line.verb, about))
    return tuple(found)
