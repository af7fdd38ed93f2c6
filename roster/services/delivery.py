"""The worker's half of messages: claim, write, send, mark.

At-least-once: a crash between sending and marking repeats the mail, with the same Message-ID.
At-most-once: marked before it leaves, so a crash leaves it `unknown` and it is not repeated.
"""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from email.message import EmailMessage
from functools import cache, partial

from roster.config import ROOT
from roster.domain.people import system
from roster.mail.filed import FiledSender
from roster.mail.message import CalendarPart, Envelope, Mailbox, compose
from roster.mail.sender import DeliveryError, Sender
from roster.mail.smtp import SmtpSender, SmtpServer
from roster.mail.wording import Tongue, Wording
from roster.services.clock import machine_now
from roster.services.letters import written
from roster.services.mail_scenes import Also, Unreachable, Written
from roster.store.outbox_values import AT_MOST_ONCE, Queued
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.wiring import wiring
from roster.words.catalogue import translator

log = logging.getLogger(__name__)
LEASE = timedelta(minutes=3)
BATCH = 10
TRIES = 5
BACK_OFF = (timedelta(minutes=1), timedelta(minutes=5), timedelta(minutes=25), timedelta(hours=2))
WORKER = system("job:mail")


@dataclass(frozen=True)
class Mail:
    """A message ready to leave, and the revision its person was then sent (None: no matter)."""

    message: EmailMessage
    sent_n: int | None
    more: tuple[Also, ...] = ()


def sender_of_settings() -> Sender:
    """SMTP where ROSTER_SMTP_URL is set; else files in instance/mail, and nothing leaves."""
    config = wiring().config
    if config.smtp_url:
        return SmtpSender(SmtpServer.parse(config.smtp_url))
    return FiledSender(config.instance / "mail")


@cache
def _wording() -> Wording:
    def tongue(language: str) -> Tongue:
        found = translator(language)
        return Tongue(found.gettext, found.ngettext)

    return Wording(ROOT / "templates", tongue)


def compose_mail(store: Store, row: Queued) -> Mail | None:
    """The bytes of a queued message as they would leave now; None if there is nothing to say."""
    found = written(store, row)
    return None if found is None else Mail(_message(store, row, found), found.sent_n, found.more)


def _message(store: Store, row: Queued, found: Written) -> EmailMessage:
    own = row.guardian is None and row.event is not None and row.person is not None
    thread = store.outbox.thread_of(row.event or 0, row.person or 0) if own else None
    sender = Mailbox.parse(wiring().config.mail_from)
    envelope = Envelope(
        message_id=row.message_id,
        date=row.made_at,
        sender=Mailbox(sender.address, found.letter.programme),
        to=found.to,
        thread=thread,
    )
    part = CalendarPart(*found.part) if found.part else None
    more = [CalendarPart(*also.part) for also in found.more if also.part]
    return compose(envelope, _wording().body(found.letter), part, more)


def send_due(sender: Sender, owner: str, batch: int = BATCH) -> Counter[str]:
    """Send what is due, at most one batch; how many ended in each state."""
    at = machine_now()
    claimed = write(lambda store: store.outbox.claim(owner, at, at + LEASE, batch), actor=WORKER)
    return Counter(_send(row, sender, owner) for row in claimed)


def _send(row: Queued, sender: Sender, owner: str) -> str:
    mail = _ready(row, owner)
    if isinstance(mail, str):
        return mail
    if row.once == AT_MOST_ONCE and not _begin(row, owner):
        return "lost"
    try:
        sender.send(mail.message)
    except DeliveryError as error:
        return _refused(row, owner, error)
    return _sent(row, owner, mail)


def _ready(row: Queued, owner: str) -> Mail | str:
    """The mail, or the state in which the message ended without one."""
    if row.tries >= TRIES:  # its worker died each time
        return _finish(row, owner, "failed", "tried five times without an end")
    try:
        mail = read(partial(_composed, row=row))
    except Unreachable as error:
        return _finish(row, owner, "failed", str(error))
    except Exception:
        # one message that cannot be written must not stop the others
        log.exception("message %d cannot be written", row.id)
        return _again(row, owner, "it cannot be written")
    return mail or _finish(row, owner, "cancelled", "nothing to say any more")


def _composed(store: Store, row: Queued) -> Mail | None:
    return compose_mail(store, row)


def _write(act: Callable[[Store], bool]) -> bool:
    return write(act, actor=WORKER)


def _begin(row: Queued, owner: str) -> bool:
    return _write(lambda store: store.outbox.begin_sending(row.id, owner))


def _sent(row: Queued, owner: str, mail: Mail) -> str:
    def body(store: Store) -> bool:
        mine = store.outbox.finish(row.id, owner, "sent", None)
        if mine and mail.sent_n is not None and row.event and row.person:
            store.invitations.note_sent(row.event, row.person, mail.sent_n)
            told = {"person": row.person, "n": mail.sent_n, "kind": row.kind}
            store.unit.note("tell", "event", row.event, after=told)
        if mine:
            _parts_sent(store, row, mail)
        return mine

    return "sent" if _write(body) else "lost"


def _parts_sent(store: Store, row: Queued, mail: Mail) -> None:
    for also in mail.more:
        store.outbox.part_sent(also.message)
        if also.sent_n is not None and row.person:
            store.invitations.note_sent(also.event, row.person, also.sent_n)
            told = {"person": row.person, "n": also.sent_n, "kind": row.kind}
            store.unit.note("tell", "event", also.event, after=told)


def _refused(row: Queued, owner: str, error: DeliveryError) -> str:
    if error.unsure and row.once == AT_MOST_ONCE:
        return _finish(row, owner, "unknown", str(error))
    if error.for_good:
        return _finish(row, owner, "failed", str(error))
    return _again(row, owner, str(error))


def _again(row: Queued, owner: str, said: str) -> str:
    tries = row.tries + 1  # the row is as it was before this claim counted
    if tries >= TRIES:
        return _finish(row, owner, "failed", said)
    wait = BACK_OFF[min(tries, len(BACK_OFF)) - 1]
    _write(lambda store: store.outbox.again(row.id, owner, store.unit.at + wait, said))
    return "later"


def _finish(row: Queued, owner: str, state: str, said: str) -> str:
    if state == "failed":
        log.warning("message %d (%s) failed: %s", row.id, row.kind, said)
    return state if _write(lambda s: s.outbox.finish(row.id, owner, state, said)) else "lost"


def preview(number: int) -> EmailMessage | None:
    """What a queued message would say now, or said when it left (development's list)."""

    def look(store: Store) -> EmailMessage | None:
        row = store.outbox.get(number)
        mail = compose_mail(store, row) if row else None
        return mail.message if mail else None

    row = read(lambda store: store.outbox.get(number))
    if row is None:
        return None
    if row.state == "sent" and not wiring().config.smtp_url:
        filed = FiledSender(wiring().config.instance / "mail").read(row.message_id)
        if filed is not None:
            return filed
    try:
        return read(look)
    except Unreachable:
        return None
