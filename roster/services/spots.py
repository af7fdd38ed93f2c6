"""Use cases of spots: sign up, withdraw, place; who moves up on the waiting list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from roster.domain import spots as rules
from roster.domain.errors import RuleBroken
from roster.domain.events import Event, Stage
from roster.domain.people import Actor, Role
from roster.domain.reasons import Fact, Level, Reason
from roster.domain.spots import InLine, SpotState
from roster.services import checks, crewcheck, invites
from roster.services.access import require
from roster.services.spot_wishes import Asking, asking, of_spot, openings, wish, wishes
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import write

OPEN_ROLES = (Role.CREW_MEMBER, Role.DATA_COLLECTOR)
PLACED_ROLES = (*OPEN_ROLES, Role.FIRST_AIDER, Role.DRIVER)
Answer = dict[str, Any]
"""What became of a spot, in plain values: state, line, and what else the reader must know."""


def sign_up(
    actor: Actor,
    event_id: int,
    person: int,
    role: str = Role.CREW_MEMBER,
    operation: str | None = None,
) -> Answer:
    """A spot, or the next place on the waiting list, for who is eligible on the event's day.

    For the person, or for staff. Gives {"state", "line"}. RuleBroken with every reason.
    """
    wanted = _role(role, OPEN_ROLES)

    def body(store: Store) -> Answer:
        event = store.events.locked(event_id)
        require_own(store, event_id, person)
        return sign_up_in(store, event, person, wanted)

    return write(body, actor=actor, operation=operation)


def sign_up_in(
    store: Store, event: Event, person: int, role: Role, day: date | None = None
) -> Answer:
    """Inside another use case: the same for a locked event, past the question who may ask.

    `day` is the day of an expected window on which the person is judged, if not its first.
    """
    one = asking(store, event.id, person, role)
    on_day = event if day is None else _as_on(event, day)
    state = rules.sign_up(openings(store, event), wish(store, on_day, one))
    line = store.spots.next_line(event.id) if state is SpotState.WAITING else None
    _put(store, one, event.id, state, line_no=line)
    _after(store, event, [person], "signed_up", {"state": state.value, "role": role.value})
    if state is not SpotState.ASKED:
        invites.spot_changed(store, event.id, person, state.value)
    return {"state": state.value, "line": line}


def withdraw(
    actor: Actor, event_id: int, person: int, why: str = "", operation: str | None = None
) -> Answer:
    """Give a spot back; the first on the list who may still come moves up as the hours allow.

    For the person, or for staff. Gives {"state", "alarm", "placed", "offered", "phone"}.
    """
    told = checks.text("why", why, most=500, needed=False)

    def body(store: Store) -> Answer:
        event = store.events.locked(event_id)
        require_own(store, event_id, person)
        one = of_spot(_spot(store, event_id, person))
        alarm = rules.withdraw(openings(store, event), wish(store, event, one), store.unit.at)
        _leave(store, event, one, told)
        after: dict[str, Any] = {"why": told} | ({"alarm": alarm.code} if alarm else {})
        _after(store, event, [person], "withdrew", after)
        invites.spot_changed(store, event_id, person, "withdrawn")
        moved = fill_in(store, event_id)
        _fall_back(store, event_id)
        return {"state": "withdrawn", "alarm": alarm.code if alarm else None} | moved

    return write(body, actor=actor, operation=operation)


def place(
    actor: Actor,
    event_id: int,
    person: int,
    role: str = Role.CREW_MEMBER,
    operation: str | None = None,
) -> Answer:
    """The coordinator gives a person a spot (after a phone call, say); never beyond the last.

    What bars a sign-up bars this too. Gives {"state"}.
    """
    wanted = _role(role, PLACED_ROLES)

    def body(store: Store) -> Answer:
        event = store.events.locked(event_id)
        require(store, "event", event_id, "staff")
        one = asking(store, event_id, person, wanted)
        state = rules.place(openings(store, event), wish(store, event, one))
        _put(store, one, event_id, state)
        _after(store, event, [person], "placed", {"role": wanted.value})
        invites.spot_changed(store, event_id, person, "placed")
        return {"state": state.value}

    return write(body, actor=actor, operation=operation)


def accept_offer(actor: Actor, event_id: int, person: int, operation: str | None = None) -> Answer:
    """Take the spot that was offered, while the offer is open. Gives {"state"}."""

    def body(store: Store) -> Answer:
        event = store.events.locked(event_id)
        require_own(store, event_id, person)
        return accept_in(store, event, person)

    return write(body, actor=actor, operation=operation)


def accept_in(store: Store, event: Event, person: int) -> Answer:
    """Inside another use case: yes to an offer, or to being asked again after a move."""
    row = _spot(store, event.id, person)
    # the spot of who is asked again is theirs until somebody else gets it
    until = None if row.is_asked_again else row.offered_until
    mine = wish(store, event, of_spot(row))
    rules.accept(openings(store, event), mine, until, store.unit.at)
    store.spots.change(row, SpotState.PLACED, "accepted")
    _after(store, event, [person], "said_yes_again" if row.asked_n else "accepted_offer", {})
    invites.spot_changed(store, event.id, person, "promoted")
    return {"state": SpotState.PLACED.value}


def decline_offer(actor: Actor, event_id: int, person: int, operation: str | None = None) -> Answer:
    """Say no to an offered spot; the next on the list is asked. Gives {"state", ...}."""

    def body(store: Store) -> Answer:
        event = store.events.locked(event_id)
        require_own(store, event_id, person)
        return decline_in(store, event, person)

    return write(body, actor=actor, operation=operation)


def decline_in(store: Store, event: Event, person: int) -> Answer:
    """Inside another use case: no to an offer, or to being asked again after a move."""
    row = _spot(store, event.id, person)
    if row.state != SpotState.OFFERED:
        facts: dict[str, Fact] = {"name": row.name, "event": event.id}
        raise RuleBroken([Reason("no_offer_open", facts)])
    return {"state": "withdrawn"} | end_offer(store, event, row, "declined")


def end_offer(store: Store, event: Event, row: SpotRow, why: str) -> Answer:
    """Inside another use case: an offer ends without a yes; the next on the list moves up."""
    _leave(store, event, of_spot(row), why)
    _after(store, event, [row.person], "offer_ended", {"why": why})
    invites.spot_changed(store, event.id, row.person, "withdrawn")
    return fill_in(store, event.id)


def fill_in(store: Store, event_id: int) -> Answer:
    """Inside another use case: free spots go to the waiting list, as the hours left allow.

    Gives who was placed, who was offered a spot, and whom to phone (numbers of persons).
    """
    event = store.events.locked(event_id)
    rows = {s.person: s for s in store.spots.of_event(event_id) if s.state == SpotState.WAITING}
    wanted = wishes(store, event, [of_spot(s) for s in rows.values()])
    line = [InLine(rows[w.person].line_no or 0, w) for w in wanted]
    found = rules.move_up(openings(store, event), line, store.unit.at)
    for person in found.placed:
        store.spots.change(rows[person], SpotState.PLACED, "moved up")
    for person in found.offered:
        store.spots.change(rows[person], SpotState.OFFERED, "offered", offered_until=found.until)
    moved = [*found.placed, *found.offered]
    if moved:
        _after(store, event, moved, "moved_up", {"placed": found.placed, "offered": found.offered})
    for person in moved:
        what = "promoted" if person in found.placed else "offered"
        invites.spot_changed(store, event_id, person, what)
    return {"placed": list(found.placed), "offered": list(found.offered),
            "phone": list(found.phone)}  # fmt: skip


def _as_on(event: Event, day: date) -> Event:
    return replace(event, local_start=datetime.combine(day, event.local_start.time()))


def seat_in(store: Store, event_id: int, person: int, role: str) -> None:
    """Inside another use case: who agreed to a role gets its spot, or their spot that role.

    The event is locked and the verdict was asked. RuleBroken if no spot is left, hours overlap,
    or a minor lacks the guardian's yes. The caller tells the person and refreshes the check.
    """
    event = store.events.locked(event_id)
    one = asking(store, event_id, person, Role(role))
    rules.place(openings(store, event), wish(store, event, one))
    _put(store, one, event_id, SpotState.PLACED)
    store.spots.recount(event_id)


def unseat_in(store: Store, event_id: int, person: int, why: str) -> None:
    """Inside another use case: who is replaced in a role gives the spot back."""
    row = store.spots.one(event_id, person)
    if row is not None and row.is_live:
        store.spots.change(row, SpotState.WITHDRAWN, why)
        store.spots.recount(event_id)


def require_own(store: Store, event_id: int, person: int) -> None:
    """The actor is that person, or staff of the event's region; NotAllowed otherwise."""
    if store.unit.actor.person != person:
        require(store, "event", event_id, "staff")


def _role(role: str, allowed: Sequence[Role]) -> Role:
    if role == Role.LEAD:
        raise RuleBroken([Reason("role_not_for_sign_up", {"role": role})])
    return Role(checks.one_of("role", role, allowed))


def _spot(store: Store, event_id: int, person: int) -> SpotRow:
    row = store.spots.one(event_id, person)
    if row is None:
        someone = store.spots.person(person)
        facts: dict[str, Fact] = {"name": someone.name if someone else "", "event": event_id}
        raise RuleBroken([Reason("has_no_spot", facts)])
    return row


def _put(
    store: Store, one: Asking, event_id: int, state: SpotState, line_no: int | None = None
) -> None:
    if one.spot is None:
        store.spots.add(event_id, one.person, one.role, state, line_no=line_no)
    else:
        store.spots.change(one.spot, state, role=one.role.value, line_no=line_no)


def _leave(store: Store, event: Event, one: Asking, why: str) -> None:
    """The spot is given back; a role that was agreed to is open again."""
    if one.spot is not None:
        store.spots.change(one.spot, SpotState.WITHDRAWN, why)
    mine = [a for a in store.leads.asks(event.id) if a.person == one.person]
    store.leads.answer([a.id for a in mine if a.state == "agreed"], "declined")


def _after(
    store: Store, event: Event, people: Sequence[int], verb: str, after: dict[str, Any]
) -> None:
    """Count anew, busy days, the crew check, and one journal row for each person."""
    store.spots.recount(event.id)
    store.spots.refresh_busy(people)
    crewcheck.refresh(store, event.id)
    for person in people:
        store.unit.note(
            verb, "event", event.id, region=event.region, after={"person": person} | after
        )


def _fall_back(store: Store, event_id: int) -> None:
    """A ready event that the check now stops is open again, and stands on To decide."""
    event = store.events.get(event_id)
    summary = store.summary.of(event_id)
    if event.stage is not Stage.READY or summary is None:
        return
    if any(f.level is Level.STOP for f in summary.findings):
        store.events.set_stage(event_id, Stage.OPEN)
        store.unit.note(
            "fell_back", "event", event_id, region=event.region,
            before={"stage": "ready"}, after={"stage": "open"},
        )  # fmt: skip
