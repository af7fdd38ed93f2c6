"""Who must be told after an event or a spot changed: one message a person, in the same act.

Each function wants the rows of the change already written, in the transaction of the caller.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from roster.domain.dates import age_on
from roster.domain.events import Event
from roster.mail.wording import Kind
from roster.services import feeds
from roster.services.calendar_entries import keep_texts
from roster.services.messages import URGENT, queue, take_back
from roster.store.invitations import Concerned, Recipient
from roster.store.registry import Store

TOLD_OF_SPOT = (Kind.INVITATION, Kind.WAITING, Kind.OFFERED_SPOT, Kind.GUARDIAN_COPY)
TOLD_OF_EVENT = (*TOLD_OF_SPOT, Kind.UPDATE, Kind.LEAD_ASKED, Kind.REMINDER, Kind.SEEN_IT,
                 Kind.ASKED_AGAIN)  # fmt: skip


def event_changed(
    store: Store, event_id: int, n: int, what: str, asked: Mapping[int, int] | None = None
) -> int:
    """Tell everyone concerned of revision `n` (opened, moved, called_off, changed); how many.

    Opening tells nobody by mail. A person whose invitation has not left yet gets that
    invitation with the newest facts, and no second mail. `asked` are people who are asked again,
    with the number of each one's link: they get the question in place of all that.
    """
    asked = asked or {}
    event = store.events.get(event_id)
    concerned = store.invitations.concerned(event_id)
    keep_texts(store, event_id)
    feeds.touch(store, [c.person for c in concerned if c.takes_part], event.region)
    if what == "opened":
        return 0
    if what == "called_off":
        take_back(store, event_id, TOLD_OF_EVENT)
        to_tell = concerned
        kind = Kind.CALL_OFF
    else:
        to_tell = [c for c in concerned if c.state != "asked" or what == "moved"]
        kind = Kind.UPDATE
        kinds = [Kind.INVITATION, Kind.UPDATE, Kind.LEAD_ASKED, Kind.WAITING, Kind.OFFERED_SPOT]
        for person in asked:
            take_back(store, event_id, TOLD_OF_EVENT, person)
        covered = store.outbox.renew(event_id, [k.value for k in kinds], n)
        store.outbox.renew_guardians(event_id, n)
        to_tell = [c for c in to_tell if c.person not in covered and c.person not in asked]
    return _ask_again(store, event, n, asked) + _tell(store, event, kind, n, to_tell)


def _ask_again(store: Store, event: Event, n: int, asked: Mapping[int, int]) -> int:
    urgent = event.starts_at - store.unit.at < URGENT
    for person, link in asked.items():
        queue(
            store, Kind.ASKED_AGAIN, event=event.id, n=n, person=person, facts={"link": link},
            safety=urgent, dedupe=f"{Kind.ASKED_AGAIN}:{event.id}:{n}:{person}",
        )  # fmt: skip
    _copy_guardians(store, event, asked, n, urgent)
    return len(asked)


def _tell(store: Store, event: Event, kind: Kind, n: int, to_tell: Iterable[Concerned]) -> int:
    urgent = event.starts_at - store.unit.at < URGENT
    told = 0
    for one in to_tell:
        known = f"{kind}:{event.id}:{n}:{one.person}"
        queued = queue(
            store, kind, event=event.id, n=n, person=one.person, safety=urgent, dedupe=known
        )
        told += queued is not None
    _copy_guardians(store, event, [c.person for c in to_tell], n, urgent)
    return told


def spot_changed(store: Store, event_id: int, person_id: int, what: str) -> None:
    """Tell one person of their spot (placed, promoted, offered, waiting, withdrawn)."""
    event = store.events.get(event_id)
    if what == "withdrawn":
        _spot_lost(store, event, person_id)
    else:
        stale = {"offered": (Kind.WAITING,)}.get(what, (*TOLD_OF_SPOT, Kind.CANCELLATION))
        take_back(store, event_id, stale, person_id)
        kinds = {"offered": Kind.OFFERED_SPOT, "waiting": Kind.WAITING}
        _tell_one(store, event, kinds.get(what, Kind.INVITATION), person_id)
    if what != "waiting":
        feeds.touch(store, [person_id], event.region)


def _spot_lost(store: Store, event: Event, person_id: int) -> None:
    """A cancellation where the calendar has the event, or where somebody else decided it."""
    take_back(store, event.id, TOLD_OF_EVENT, person_id)
    sent = store.invitations.sent_n(event.id, person_id)
    if sent:
        # RFC 5546 section 3.2.5: a CANCEL counts SEQUENCE up, so it has a revision of its own
        n = store.events.revise(event.id, "withdrawn")
        keep_texts(store, event.id)
        _tell_one(store, event, Kind.CANCELLATION, person_id, n)
    elif store.unit.actor.person != person_id:
        _tell_one(store, event, Kind.CANCELLATION, person_id)


def _tell_one(store: Store, event: Event, kind: Kind, person_id: int, n: int | None = None) -> None:
    n = n or event.n
    again = store.outbox.count_of(event.id, person_id)
    urgent = event.starts_at - store.unit.at < URGENT
    known = f"{kind}:{event.id}:{n}:{person_id}:{again}"
    queue(store, kind, event=event.id, n=n, person=person_id, safety=urgent, dedupe=known)
    _copy_guardians(store, event, [person_id], n, urgent)


def lead_asked(store: Store, event_id: int, person_id: int, role: str, ask_id: int) -> None:
    """Ask a person to lead or to collect data."""
    event = store.events.get(event_id)
    known = f"{Kind.LEAD_ASKED}:{event_id}:{ask_id}"
    queue(
        store, Kind.LEAD_ASKED, event=event_id, n=event.n, person=person_id,
        facts={"ask": ask_id}, dedupe=known, safety=event.starts_at - store.unit.at < URGENT,
    )  # fmt: skip


def lead_agreed(store: Store, event_id: int, person_id: int, role: str) -> None:
    """The event comes into the calendar of who agreed; the question is taken back if unsent."""
    event = store.events.get(event_id)
    take_back(store, event_id, (*TOLD_OF_SPOT, Kind.LEAD_ASKED, Kind.CANCELLATION), person_id)
    _tell_one(store, event, Kind.INVITATION, person_id)
    feeds.touch(store, [person_id], event.region)


def lead_replaced(store: Store, event_id: int, person_id: int, role: str) -> None:
    """The event leaves the calendar of who no longer leads, unless they keep a spot on it.

    Who was asked and had not answered hears that somebody else was found, unless the
    question itself never left.
    """
    event = store.events.get(event_id)
    if store.invitations.ask_state(event_id, person_id, role) == "lapsed":
        if not take_back(store, event_id, (Kind.LEAD_ASKED,), person_id):
            _tell_one(store, event, Kind.LEAD_FOUND, person_id)
        return
    if any(c.takes_part for c in store.invitations.concerned(event_id, person_id)):
        take_back(store, event_id, TOLD_OF_SPOT, person_id)
        _tell_one(store, event, Kind.INVITATION, person_id)
    else:
        _spot_lost(store, event, person_id)
    feeds.touch(store, [person_id], event.region)


def _copy_guardians(
    store: Store, event: Event, people: Iterable[int], n: int, urgent: bool
) -> None:
    """Guardians of those under age on the day get a copy of whatever was queued last."""
    listed = list(people)
    day = event.local_start.date()
    guardians = store.invitations.guardians(listed, day) if listed else []
    if not guardians:
        return
    age = store.invitations.majority_age(event.site)
    minors = {
        number for number in {g.person for g in guardians}
        if is_minor(store.invitations.recipient(number), day, age)
    }  # fmt: skip
    for guardian in guardians:
        if guardian.person in minors:
            last = store.outbox.last_of(event.id, guardian.person)
            if last is not None:
                queue(
                    store, Kind.GUARDIAN_COPY, event=event.id, n=n, person=guardian.person,
                    guardian=guardian.id, facts={"message": last}, safety=urgent,
                    dedupe=f"{Kind.GUARDIAN_COPY}:{guardian.id}:{last}",
                )  # fmt: skip


def is_minor(person: Recipient | None, day: date, majority_age: int) -> bool:
    """Under the age of majority of the site's state on the day, and never of age before 18."""
    if person is None or (person.of_age_on is not None and person.of_age_on <= day):
        return False
    if person.born_on is None:
        return person.of_age_on is not None
    return age_on(person.born_on, day) < max(18, majority_age)
