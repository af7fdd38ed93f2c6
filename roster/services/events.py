"""Use cases of events: create a draft, open, mark ready, move, call off; start and close."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from uuid import uuid4
from zoneinfo import ZoneInfo

from roster.domain.errors import BadInput
from roster.domain.events import (
    Check,
    Event,
    Move,
    NothingTaken,
    Outcome,
    Override,
    Stage,
    checks_before,
    move,
)
from roster.domain.people import Actor
from roster.domain.reasons import Finding, Reason
from roster.services import checks, crewcheck, invites, landcheck
from roster.services.access import require, require_staff
from roster.services.event_making import (
    NewEvent,
    check_populations,
    instants,
    minimum_crew_of,
    possible_days,
    title_of,
)
from roster.store.places import SiteRow
from roster.store.registry import Store
from roster.store.transaction import write

__all__ = ["NewEvent", "answer_for_stop", "call_off", "close_in", "create_event", "mark_ready"]
__all__ += ["open_event", "start_in"]


def create_event(actor: Actor, new: NewEvent, operation: str | None = None) -> int:
    """A new draft at a site, with its populations; gives its number."""

    def body(store: Store) -> int:
        site = store.places.site(new.site)
        require_staff(store, site.region)
        return _create(store, new, site)

    return write(body, actor=actor, operation=operation)


def _create(store: Store, new: NewEvent, site: SiteRow) -> int:
    season = store.programme.season_of(new.local_start.date())
    if season is None:
        day = new.local_start.date()
        raise BadInput("local_start", day, Reason("no_season_then", {"day": day}))
    populations = [store.places.population(p, season.id) for p in dict.fromkeys(new.populations)]
    check_populations(new, site, populations)
    start, end = instants(new, site.time_zone)
    coverage = site.minutes_to_signal == 0
    number = store.events.add(
        [p.id for p in populations],
        possible_days(new),
        uid=str(uuid4()),
        kind=new.kind.value,
        title=checks.text("title", new.title or title_of(new.kind, site, populations)),
        season=season.id,
        site=site.id,
        region=site.region,
        stage=Stage.DRAFT.value,
        date_state=new.date_state.value,
        capacity=checks.whole("capacity", new.capacity, 1, 500),
        minimum_crew=checks.whole("minimum_crew", minimum_crew_of(new, coverage), 1, 50),
        coverage=int(coverage),
        vehicles=checks.whole("vehicles", new.vehicles, 0, 100),
        local_start=new.local_start,
        local_end=new.local_end,
        time_zone=site.time_zone,
        starts_at=start,
        ends_at=end,
        day=new.local_start.date(),
        last_day=new.local_end.date(),
        meeting=checks.text("meeting", new.meeting or site.meeting, most=500),
        notes=checks.text("notes", new.notes, most=4000, needed=False),
        duty_person=new.duty_person,
        stand_in=new.stand_in,
        made_at=store.unit.at,
    )
    store.events.revise(number, "created")
    after = {"day": new.local_start.date(), "site": site.name, "kind": new.kind.value}
    store.unit.note("created", "event", number, region=site.region, after=after)
    crewcheck.refresh(store, number)
    return number


def _findings(store: Store, event: Event, to: Stage) -> list[Finding]:
    """The findings that this move needs; the crew check has the land's in it."""
    needed = checks_before(event.kind, to)
    if Check.CREW in needed:
        return list(crewcheck.findings_in(store, event.id))
    return landcheck.findings_in(store, event.id) if Check.LAND in needed else []


def _today(store: Store, event: Event) -> date:
    return store.unit.at.astimezone(ZoneInfo(event.time_zone)).date()


def _bring(store: Store, event: Event, wanted: Move, findings: Sequence[Finding], what: str) -> int:
    """Check the move, make it, keep a revision and the journal row; gives the revision."""
    overrides = [Override(rule, why) for rule, why, _ in store.events.overrides(event.id)]
    move(event, wanted, findings, overrides)
    columns: dict[str, object] = {}
    if wanted.to is Stage.CALLED_OFF:
        columns["called_off_why"] = wanted.why.strip()
    if wanted.to is Stage.UNDER_WAY:
        columns["begun_at"] = store.unit.at
    if wanted.to is Stage.DONE:
        columns |= {
            "outcome": wanted.outcome.value if wanted.outcome else None,
            "outcome_why": wanted.nothing_taken.value if wanted.nothing_taken else None,
            "closed_at": store.unit.at,
        }
    store.events.set_stage(event.id, wanted.to, **columns)
    n = store.events.revise(event.id, wanted.why.strip() or what)
    store.unit.note(
        what,
        "event",
        event.id,
        region=event.region,
        before={"stage": event.stage.value},
        after={"stage": wanted.to.value, "why": wanted.why.strip() or None},
    )
    return n


def open_event(actor: Actor, event_id: int, operation: str | None = None) -> int:
    """Open a draft for sign-up if the land allows it; gives the event's number."""

    def body(store: Store) -> int:
        event = _held(store, event_id)
        wanted = Move(Stage.OPEN, _today(store, event))
        n = _bring(store, event, wanted, _findings(store, event, Stage.OPEN), "opened")
        crewcheck.refresh(store, event_id)
        invites.event_changed(store, event_id, n, "opened")
        return event_id

    return write(body, actor=actor, operation=operation)


def mark_ready(actor: Actor, event_id: int, operation: str | None = None) -> int:
    """Mark an open event ready if land and crew allow it; gives the event's number."""

    def body(store: Store) -> int:
        event = _held(store, event_id)
        wanted = Move(Stage.READY, _today(store, event))
        _bring(store, event, wanted, _findings(store, event, Stage.READY), "marked_ready")
        crewcheck.refresh(store, event_id)
        return event_id

    return write(body, actor=actor, operation=operation)


def call_off(actor: Actor, event_id: int, why: str, operation: str | None = None) -> int:
    """Call an event off; everybody on it is told why. Gives the event's number."""
    told = checks.text("why", why, most=500, needed=False)

    def body(store: Store) -> int:
        call_off_in(store, _held(store, event_id), told)
        return event_id

    return write(body, actor=actor, operation=operation)


def call_off_in(store: Store, event: Event, why: str) -> None:
    """Inside another use case: the same for a locked event, past the question who may."""
    wanted = Move(Stage.CALLED_OFF, _today(store, event), why)
    n = _bring(store, event, wanted, (), "called_off")
    invites.event_changed(store, event.id, n, "called_off")
    open_asks = [a for a in store.leads.asks(event.id) if a.state == "asked"]
    store.leads.answer([a.id for a in open_asks], "lapsed")
    _no_longer_busy(store, event.id)
    crewcheck.refresh(store, event.id)


def answer_for_stop(
    actor: Actor, event_id: int, code: str, reason: str, operation: str | None = None
) -> int:
    """Go on although one finding says stop, with a reason; gives the event's number.

    Whether that stop may be answered for at all is said by the next move.
    """
    told = checks.text("reason", reason, most=500)

    def body(store: Store) -> int:
        event = _held(store, event_id)
        store.events.add_override(event_id, code, told)
        after = {"finding": code, "reason": told}
        store.unit.note("overrode", "event", event_id, region=event.region, after=after)
        return event_id

    return write(body, actor=actor, operation=operation)


def start_in(store: Store, event_id: int, findings: Sequence[Finding]) -> int:
    """Inside another use case: bring a ready event under way; gives the revision.

    `findings` are land, crew (on who came) and briefing; the caller has checked who acts.
    """
    event = store.events.locked(event_id)
    return _bring(store, event, Move(Stage.UNDER_WAY, _today(store, event)), findings, "started")


def close_in(
    store: Store,
    event_id: int,
    findings: Sequence[Finding],
    ending: tuple[Outcome | None, NothingTaken | None] = (None, None),
) -> int:
    """Inside another use case: close an event under way with its outcome; gives the revision.

    `findings` are those of the head count (everybody in, each minor handed over).
    """
    event = store.events.locked(event_id)
    outcome, nothing = ending
    wanted = Move(Stage.DONE, _today(store, event), "", outcome, nothing)
    return _bring(store, event, wanted, findings, "closed")


def _held(store: Store, event_id: int) -> Event:
    """The event locked, for staff of its region."""
    event = store.events.locked(event_id)
    require(store, "event", event_id, "staff")
    return event


def _no_longer_busy(store: Store, event_id: int) -> None:
    people = {a.person for a in store.leads.asks(event_id)} | store.events.people_on(event_id)
    store.spots.refresh_busy(sorted(people))
