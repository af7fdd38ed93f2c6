"""Use cases of leads: rank, ask, agree, decline, replace. The first yes wins exactly once."""

from __future__ import annotations

from datetime import datetime, timedelta

from roster.domain.errors import Conflict, NotAllowed, RuleBroken
from roster.domain.events import Event, Stage
from roster.domain.people import Actor, Role
from roster.domain.reasons import Fact, Reason
from roster.services import checks, clearance, crewcheck, invites, spots
from roster.services.access import require
from roster.store.lead_values import AskRow
from roster.store.registry import Store
from roster.store.transaction import write

ASKABLE_ROLES = (Role.LEAD, Role.DATA_COLLECTOR)
ANSWER_WITHIN = timedelta(days=3)
ANSWER_BEFORE_START = timedelta(hours=24)


def ask(
    actor: Actor, event_id: int, person: int, role: str = Role.LEAD, operation: str | None = None
) -> int:
    """Ask one person to take a role on an event; several may be asked. Gives the ask's number."""
    wanted = checks.one_of("role", role, ASKABLE_ROLES)

    def body(store: Store) -> int:
        event = _held(store, event_id)
        _must_be_cleared(store, event, person, wanted)
        asks = [a for a in store.leads.asks(event_id) if a.role == wanted]
        _must_be_open(event, asks, wanted, person)
        until = _until(store, event)
        number = store.leads.add_ask(event_id, person, wanted, until)
        _note(store, event, "asked_lead", store.leads.ask(number))
        invites.lead_asked(store, event_id, person, wanted, number)
        return number

    return write(body, actor=actor, operation=operation)


def agree(actor: Actor, event_id: int, role: str = Role.LEAD, operation: str | None = None) -> int:
    """The asked person says yes; the first yes wins. Gives the event's number."""

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        person = store.unit.actor.person
        mine = [a for a in store.leads.asks(event_id) if a.person == person and a.role == role]
        if not mine:
            raise NotAllowed(f"{store.unit.actor.name} was not asked for event {event_id}")
        if mine[-1].state == "agreed":
            return event_id
        _agree(store, event, mine[-1])
        return event_id

    return write(body, actor=actor, operation=operation)


def agree_for(
    actor: Actor, event_id: int, person: int, role: str = Role.LEAD, operation: str | None = None
) -> int:
    """A coordinator records a yes by phone, asked before or not. Gives the event's number."""
    wanted = checks.one_of("role", role, ASKABLE_ROLES)

    def body(store: Store) -> int:
        event = _held(store, event_id)
        asks = [a for a in store.leads.asks(event_id) if a.role == wanted]
        open_ask = next((a for a in asks if a.person == person and a.state == "asked"), None)
        if open_ask is None:
            _must_be_open(event, asks, wanted, person)
            number = store.leads.add_ask(event_id, person, wanted, None)
            open_ask = store.leads.ask(number)
        _agree(store, event, open_ask)
        return event_id

    return write(body, actor=actor, operation=operation)


def decline(
    actor: Actor, event_id: int, role: str = Role.LEAD, operation: str | None = None
) -> int:
    """The asked person says no. Gives the event's number.

    A yes already given is not taken back here: a coordinator replaces the person.
    """

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        person = store.unit.actor.person
        open_asks = [
            a
            for a in store.leads.asks(event_id)
            if a.person == person and a.role == role and a.state == "asked"
        ]
        if not open_asks:
            raise RuleBroken([_not_open(event, role)])
        store.leads.answer([open_asks[0].id], "declined")
        _note(store, event, "declined_lead", open_asks[0])
        return event_id

    return write(body, actor=actor, operation=operation)


def replace(
    actor: Actor, event_id: int, why: str, role: str = Role.LEAD, operation: str | None = None
) -> int:
    """Take the role from the one who agreed, so that another can be asked. Gives the number."""
    told = checks.text("why", why, most=500)

    def body(store: Store) -> int:
        event = _held(store, event_id)
        agreed = [a for a in store.leads.asks(event_id) if a.role == role and a.state == "agreed"]
        if not agreed:
            raise RuleBroken([_not_open(event, role)])
        _release(store, event, agreed[0], told)
        return event_id

    return write(body, actor=actor, operation=operation)


def swap(actor: Actor, event_id: int, person: int, why: str, role: str = Role.LEAD) -> int:
    """Another takes the role at once, in one act (both have been spoken to). Gives the number."""
    told = checks.text("why", why, most=500)

    def body(store: Store) -> int:
        swap_in(store, _held(store, event_id), person, told, role)
        return event_id

    return write(body, actor=actor)


def swap_in(store: Store, event: Event, person: int, why: str, role: str = Role.LEAD) -> None:
    """Inside another use case: the same for a locked event, past the question who may."""
    asks = [a for a in store.leads.asks(event.id) if a.role == role]
    if any(a.person == person and a.state == "agreed" for a in asks):
        raise RuleBroken([Reason("has_the_role_already", {"event": event.id, "role": role})])
    for there in asks:
        if there.state == "agreed":
            _release(store, event, there, why)
    open_ask = next((a for a in asks if a.person == person and a.state == "asked"), None)
    number = open_ask.id if open_ask else store.leads.add_ask(event.id, person, role, None)
    _agree(store, event, store.leads.ask(number))


def _release(store: Store, event: Event, there: AskRow, why: str) -> None:
    store.leads.answer([there.id], "replaced")
    spots.unseat_in(store, event.id, there.person, why)
    _note(store, event, "replaced_lead", there, why)
    invites.lead_replaced(store, event.id, there.person, there.role)
    _after(store, event, there.person)


def _agree(store: Store, event: Event, mine: AskRow) -> None:
    """The one place where a yes counts; the unique index stands behind it."""
    asks = [a for a in store.leads.asks(event.id) if a.role == mine.role]
    late = mine.until is not None and mine.until <= store.unit.at
    if mine.state != "asked" or late or any(a.state == "agreed" for a in asks):
        raise Conflict(_not_open(event, mine.role))
    _must_be_open(event, [], mine.role, mine.person)
    _must_be_cleared(store, event, mine.person, mine.role)
    store.leads.answer([mine.id], "agreed")
    others = [a for a in asks if a.state == "asked" and a.id != mine.id]
    store.leads.answer([a.id for a in others], "lapsed")
    spots.seat_in(store, event.id, mine.person, mine.role)
    _note(store, event, "agreed_lead", mine)
    invites.lead_agreed(store, event.id, mine.person, mine.role)
    for other in others:
        invites.lead_replaced(store, event.id, other.person, other.role)
    _after(store, event, mine.person)


def _after(store: Store, event: Event, person: int) -> None:
    store.spots.refresh_busy([person])
    crewcheck.refresh(store, event.id)


def _held(store: Store, event_id: int) -> Event:
    event = store.events.locked(event_id)
    require(store, "event", event_id, "staff")
    return event


def _must_be_cleared(store: Store, event: Event, person: int, role: str) -> None:
    """The interval table says who is cleared; the verdict says why somebody is not."""
    if store.leads.holding([person], role, event.first_day):
        return
    reasons = clearance.verdict_in(store, person, Role(role), event.first_day).reasons
    facts: dict[str, Fact] = {"event": event.id, "day": event.first_day, "role": role}
    raise RuleBroken([Reason("lead_not_cleared_then", facts), *reasons])


def _must_be_open(event: Event, asks: list[AskRow], role: str, person: int) -> None:
    stages = (Stage.DRAFT, Stage.OPEN, Stage.READY)
    taken = any(a.state == "agreed" for a in asks)
    asked = any(a.person == person and a.state == "asked" for a in asks)
    if event.stage not in stages or taken:
        raise RuleBroken([_not_open(event, role)])
    if asked:
        facts: dict[str, Fact] = {"event": event.id}
        raise RuleBroken([Reason("asked_already", facts)])


def _not_open(event: Event, role: str) -> Reason:
    return Reason("lead_ask_not_open", {"event": event.id, "role": role})


def _until(store: Store, event: Event) -> datetime:
    """Until when the question stands: three days, at most until 24 hours before the start."""
    soonest = store.unit.at + timedelta(hours=2)
    latest = min(store.unit.at + ANSWER_WITHIN, event.starts_at - ANSWER_BEFORE_START)
    return max(soonest, latest)


def _note(store: Store, event: Event, verb: str, one: AskRow, why: str = "") -> None:
    after = {"person": one.person, "role": one.role} | ({"why": why} if why else {})
    store.unit.note(verb, "event", event.id, region=event.region, after=after)
