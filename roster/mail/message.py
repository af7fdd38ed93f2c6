"""One mail to one recipient: plain text, HTML and, where there is one, the calendar part.

The order of parts is that of RFC 6047: multipart/alternative with text/calendar last, and the
identical bytes once more as an attachment for readers that show no calendar part.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from email import policy
from email.headerregistry import Address
from email.message import EmailMessage
from email.utils import format_datetime, parseaddr

_ADDRESS = re.compile(r"[^\s@<>\"(),:;\\\x00-\x1f\x7f]+@[A-Za-z0-9.-]+")


@dataclass(frozen=True)
class Mailbox:
    """A mail address with the name shown before it."""

    address: str
    name: str = ""

    def __post_init__(self) -> None:
        if not _ADDRESS.fullmatch(self.address):
            raise ValueError(f"not one mail address: {self.address!r}")

    @classmethod
    def parse(cls, text: str) -> Mailbox:
        """From `Name <address>` or a bare address, as settings give it."""
        name, address = parseaddr(text)
        return cls(address, name)

    @property
    def header(self) -> Address:
        """For a header; control characters in the name are gone."""
        name = "".join(c if c.isprintable() else " " for c in self.name)
        return Address(display_name=name.strip(), addr_spec=self.address)


@dataclass(frozen=True)
class CalendarPart:
    """The bytes of an invitation and the method that they and the mail part both name."""

    content: bytes
    method: str


@dataclass(frozen=True)
class Envelope:
    """Who, from whom, and which mail this is; `message_id` is the same at every try.

    `thread` is the Message-ID of the first mail about the same event to the same person.
    """

    message_id: str
    date: datetime
    sender: Mailbox
    to: Mailbox
    reply_to: Mailbox | None = None
    thread: str | None = None


@dataclass(frozen=True)
class Body:
    """What the mail says, twice: as plain text and as HTML."""

    subject: str
    text: str
    html: str


def message_id(what: str, secret: bytes, domain: str) -> str:
    """The Message-ID of what is to be said: always the same, not to be guessed from outside."""
    digest = hashlib.sha256(secret + what.encode()).hexdigest()
    return f"<{digest[:32]}@{domain}>"


def compose(
    envelope: Envelope,
    body: Body,
    calendar: CalendarPart | None = None,
    more: Sequence[CalendarPart] = (),
) -> EmailMessage:
    """The message; the same arguments give the same bytes, boundaries too.

    `more` are calendar parts of several events: each an attachment, as one message in the sense
    of iTIP holds one event only (RFC 5546 section 3.2).
    """
    message = EmailMessage(policy=policy.SMTP)
    message["Message-ID"] = envelope.message_id
    message["Date"] = format_datetime(envelope.date)
    message["From"] = envelope.sender.header
    message["To"] = envelope.to.header
    if envelope.reply_to:
        message["Reply-To"] = envelope.reply_to.header
    message["Subject"] = " ".join("".join(_printable(body.subject)).split())
    message["Auto-Submitted"] = "auto-generated"  # RFC 3834
    if envelope.thread and envelope.thread != envelope.message_id:
        message["In-Reply-To"] = envelope.thread
        message["References"] = envelope.thread
    message.set_content(body.text, cte="quoted-printable")
    message.add_alternative(body.html, subtype="html", cte="quoted-printable")
    if calendar:
        _add_calendar(message, calendar)
    for number, part in enumerate(more, 1):
        message.add_attachment(
            part.content,
            maintype="text",
            subtype="calendar",
            cte="base64",
            filename=f"event-{number}.ics",
            params={"method": part.method, "charset": "utf-8"},
        )
    _set_boundaries(message, envelope.message_id)
    return message


def _printable(text: str) -> list[str]:
    return [c if c.isprintable() else " " for c in text]


def _add_calendar(message: EmailMessage, calendar: CalendarPart) -> None:
    # base64 keeps CRLF and folds as they are; relays rewrite 7bit and 8bit
    message.add_alternative(
        calendar.content.decode("utf-8"),
        subtype="calendar",
        charset="utf-8",
        cte="base64",
        params={"method": calendar.method, "component": "VEVENT"},
    )
    message.add_attachment(
        calendar.content, maintype="application", subtype="ics", filename="invite.ics"
    )


def _set_boundaries(message: EmailMessage, seed: str) -> None:
    for number, part in enumerate(p for p in message.walk() if p.is_multipart()):
        digest = hashlib.sha256(f"{seed}|{number}".encode()).hexdigest()
        part.set_boundary(f"=_{digest[:32]}")
