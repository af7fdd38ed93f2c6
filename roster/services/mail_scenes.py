"""What most letters need at hand: the message, its reader, the event as it was published."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from roster.mail.message import Mailbox
from roster.mail.wording import Letter
from roster.services import event_cards
from roster.store.event_values import EventRow
from roster.store.invitations import Concerned, Recipient, Revision
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.words import word
from roster.words.formats import moment

OVER = ("done", "called_off")
_CODE_WHY = frozenset({"", "opened", "moved", "changed", "fixed_day", "withdrawn", "called_off"})


@dataclass(frozen=True)
class Also:
    """One of several messages told in one mail: its number, event, and calendar part."""

    message: int
    event: int
    sent_n: int | None
    part: tuple[bytes, str] | None


@dataclass(frozen=True)
class Written:
    """A mail before it becomes bytes; `part` is the calendar part and its method, if any.

    `sent_n` is what the person then was sent of the event: the revision, or 0 for none.
    """

    to: Mailbox
    letter: Letter
    part: tuple[bytes, str] | None = None
    sent_n: int | None = None
    more: tuple[Also, ...] = ()


@dataclass(frozen=True)
class Scene:
    """What most letters need: the message, its reader, the event as it was published."""

    store: Store
    row: Queued
    reader: Recipient
    event: EventRow
    revision: Revision
    standing: Concerned | None
    sent_n: int

    @property
    def language(self) -> str:
        """The reader's language."""
        return self.reader.language

    @property
    def role(self) -> str:
        """What the reader is on the event, in words."""
        return word("role", self.standing.role if self.standing else "crew_member", self.language)

    def until(self, at: datetime | None) -> str:
        """An instant at the meeting point, in words."""
        return moment(at, self.revision.time_zone, self.language) if at else ""

    @property
    def why(self) -> str:
        """What was given as the reason, if a person gave one."""
        return "" if self.revision.why in _CODE_WHY else self.revision.why


class Unreachable(Exception):
    """There is no address to write to."""


def scene_of(store: Store, row: Queued) -> Scene | None:
    """The scene of a message about an event; None if its person has left."""
    if row.person is None or row.event is None:
        return None
    reader = store.invitations.recipient(row.person)
    if reader is None or reader.state in ("left", "erased"):
        return None
    event = store.events.row(row.event)
    revision = store.invitations.revision(row.event, row.n or 0)
    standing = next(iter(store.invitations.concerned(row.event, row.person)), None)
    sent = store.invitations.sent_n(row.event, row.person)
    given = revision or event_cards.as_revision(event)
    return Scene(store, row, reader, event, given, standing, sent)


def first_name(name: str) -> str:
    """How a mail addresses somebody."""
    return name.split()[0] if name.split() else name


def programme_name(store: Store) -> str:
    """The programme that writes."""
    programme = store.programme.the_one()
    return programme.name if programme else "Seed Muster"
