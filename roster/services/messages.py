"""Messages are queued in the transaction of the act they tell of: kinds and ids, never text."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import timedelta
from email.utils import parseaddr
from typing import TypedDict, Unpack
from urllib.parse import urlsplit

from roster.domain.errors import BadInput, NotFound
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Reason
from roster.mail.message import message_id
from roster.mail.wording import Kind
from roster.services import access, tokens
from roster.store.outbox_values import AT_LEAST_ONCE, AT_MOST_ONCE, NewMessage, Queued, Told
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.wiring import wiring

WAIT = timedelta(minutes=10)
"""So long can mail wait: an undo takes it back unsent, two changes go out as one (our default)."""
URGENT = timedelta(hours=48)
"""News of an event that begins sooner never waits (our own default)."""

CAN_WAIT = frozenset(
    {
        Kind.INVITATION,
        Kind.UPDATE,
        Kind.CANCELLATION,
        Kind.CALL_OFF,
        Kind.WAITING,
        Kind.LEAD_ASKED,
        Kind.LEAD_FOUND,
        Kind.ASKED_AGAIN,
        Kind.SEVERAL,
        Kind.GUARDIAN_COPY,
    }
)
NEVER_TWICE = frozenset({Kind.REMINDER, Kind.WAITING})
"""A lost one of these does less harm than a second; all others rather twice than never."""

SEEN_PURPOSE = "seen"
SEEN_FOR = timedelta(days=14)


class About(TypedDict, total=False):
    """What a message is about and whom it goes to; `facts` are ids only."""

    event: int | None
    n: int | None
    person: int | None
    guardian: int | None
    address: int | None
    facts: Mapping[str, int] | None


def queue(
    store: Store, kind: str, *, dedupe: str, safety: bool = False, **about: Unpack[About]
) -> int | None:
    """Queue a message in the running transaction; None if `dedupe` is known already.

    Safety mail leaves at once; mail that can wait waits ten minutes.
    """
    known = Kind(kind)
    waits = known in CAN_WAIT and not safety
    new = NewMessage(
        kind=known.value,
        once=AT_MOST_ONCE if known in NEVER_TWICE and not safety else AT_LEAST_ONCE,
        dedupe=dedupe,
        message_id=message_id(dedupe, tokens.key_of("message-id"), mail_domain()),
        not_before=store.unit.at + (WAIT if waits else timedelta(0)),
        safety=safety,
        **about,
    )
    return store.outbox.add(new)


def mail_domain() -> str:
    """The domain of our Message-IDs: that of the sending address, else of the service."""
    config = wiring().config
    domain = parseaddr(config.mail_from)[1].partition("@")[2]
    return domain or urlsplit(config.base_url).hostname or "localhost"


def take_back(store: Store, event: int, kinds: Collection[Kind], person: int | None = None) -> int:
    """Cancel unsent messages about an event (of one person, or of all); how many."""
    return store.outbox.cancel(event, [k.value for k in kinds], person)


def seen_token(number: int) -> str:
    """The secret of the *Seen it* link of one message."""
    return tokens.token(SEEN_PURPOSE, number)


@dataclass(frozen=True)
class _ToSee:
    event: int
    n: int
    person: int


def _to_see(store: Store, token: str) -> _ToSee:
    number = tokens.number_in(token)
    row = None if number is None else store.outbox.get(number)
    right = tokens.is_right(SEEN_PURPOSE, token, 1 if row else None)
    if not right or row is None or row.event is None or row.person is None:
        raise NotFound("link", "")
    if store.unit.at > row.made_at + SEEN_FOR:
        raise NotFound("link", "")
    return _ToSee(row.event, row.n or 0, row.person)


def seen_page(token: str) -> tuple[str, str]:
    """Title of the event and name of the person of a *Seen it* link; NotFound for a wrong one."""

    def look(store: Store) -> tuple[str, str]:
        row = _to_see(store, token)
        person = store.invitations.recipient(row.person)
        return store.events.row(row.event).title, person.name if person else ""

    return read(look)


def see(actor: Actor, token: str) -> None:
    """Record that the person of this link has seen the message (again: nothing changes)."""

    def body(store: Store) -> None:
        row = _to_see(store, token)
        if store.outbox.see(row.event, row.n, row.person):
            store.unit.note("see", "event", row.event, after={"person": row.person, "n": row.n})

    write(body, actor=actor)


def told(actor: Actor, event: int) -> list[Told]:
    """Who was told what of an event, by mail, and who has seen it; for its staff and lead."""

    def look(store: Store) -> list[Told]:
        store.unit.actor = actor
        access.require(store, "event", event, "staff", "lead", "duty")
        return store.outbox.told(event)

    return read(look)


def page(before: int | None = None, limit: int = 50, states: Collection[str] = ()) -> list[Queued]:
    """Messages, newest first (development and command line)."""
    return read(lambda store: store.outbox.page(before, limit, states))


def names(rows: Collection[Queued]) -> dict[int, str]:
    """Names of the people of these messages, by number."""
    people = {row.person for row in rows if row.person is not None}
    return read(lambda store: store.invitations.names(people))


def one(number: int) -> Queued:
    """One message; NotFound if there is none."""
    row = read(lambda store: store.outbox.get(number))
    if row is None:
        raise NotFound("message", number)
    return row


def counts() -> dict[str, int]:
    """How many messages stand in each state."""
    return read(lambda store: store.outbox.counts())


def retry(actor: Actor, number: int) -> None:
    """Try a message again that failed or of which nobody knows."""

    def body(store: Store) -> None:
        access.require_coordinator(store)
        row = store.outbox.get(number)
        if row is None:
            raise NotFound("message", number)
        if not store.outbox.retry(number):
            facts: dict[str, Fact] = {"number": number, "state": row.state}
            raise BadInput("message", number, Reason("message_not_to_retry", facts))
        store.unit.note("retry", "message", number)

    write(body, actor=actor)
