"""The calendar part of a mail: whether it has one, its method, and its bytes for one person."""

from __future__ import annotations

from dataclasses import replace
from email.utils import parseaddr

from roster.mail.wording import Kind
from roster.services.calendar_entries import Reader, audience_of, entry_of
from roster.store.feed_values import CalendarEvent
from roster.store.invitations import Revision
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.store.wiring import wiring


def part(
    store: Store, kind: Kind, row: Queued, *, takes_part: bool, sent_n: int
) -> tuple[bytes, str] | None:
    """Bytes and method: a REQUEST for who takes part, a CANCEL for who had one before.

    A question that is still open (an offer, a lead asked) has none: nobody's calendar should
    show what is not settled. Who is asked again has the event in the calendar already, so it
    moves there, unanswered (RFC 5546 section 3.2.2.1).
    """
    asks = kind in (Kind.INVITATION, Kind.UPDATE) and takes_part
    asks = asks or (kind is Kind.ASKED_AGAIN and sent_n > 0)
    cancels = kind in (Kind.CANCELLATION, Kind.CALL_OFF) and sent_n > 0
    if not (asks or cancels) or row.event is None or row.person is None:
        return None
    return _bytes(store, kind, row, cancels=cancels)


def _bytes(store: Store, kind: Kind, row: Queued, *, cancels: bool) -> tuple[bytes, str]:
    from roster.ical.invites import Answer, Invitee, Party, cancel, request

    number, person = row.event or 0, row.person or 0
    event = store.feeds.event(number)
    reader = store.invitations.recipient(person)
    address = store.invitations.address_of(person)
    if event is None or reader is None or address is None:
        raise LookupError(f"message {row.id} lost its event, person or address")
    revision = store.invitations.revision(event.id, row.n or 0)
    standing = next(iter(store.invitations.concerned(event.id, person)), None)
    role = standing.role if standing else "crew_member"
    shown = _as_published(event, revision)
    # the stamp of a mail is when it was queued: later than any before it, the same at each try
    entry = replace(entry_of(shown, Reader(audience_of(role), reader.language)), stamp=row.made_at)
    organizer = Party(*reversed(_organizer(store)))
    # they have their spot already, so the calendar does not ask, unless the event was moved
    answer = Answer.NEEDS_ACTION if kind is Kind.ASKED_AGAIN else Answer.ACCEPTED
    invitee = Invitee(Party(address, reader.name), answer, leads=role == "lead")
    if not cancels:
        return request(entry, organizer, invitee), "REQUEST"
    return cancel(entry, organizer, invitee, whole=kind is Kind.CALL_OFF), "CANCEL"


def _organizer(store: Store) -> tuple[str, str]:
    """Name and address of the programme's box."""
    name, address = parseaddr(wiring().config.mail_from)
    programme = store.programme.the_one()
    return (programme.name if programme else name), address


def _as_published(event: CalendarEvent, revision: Revision | None) -> CalendarEvent:
    if revision is None:
        return event
    return replace(
        event,
        n=revision.n,
        sequence=revision.sequence,
        title=revision.title,
        site_name=revision.place,
        meeting=revision.meeting,
        stage=revision.stage if revision.stage != "draft" else event.stage,
        date_state=revision.date_state,
        local_start=revision.local_start,
        local_end=revision.local_end,
        time_zone=revision.time_zone,
        starts_at=revision.starts_at,
        day=revision.local_start.date(),
        last_day=revision.local_end.date(),
    )
