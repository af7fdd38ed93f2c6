"""Development only: the mail that would go out, each message whole with its invitation."""

from __future__ import annotations

from dataclasses import dataclass
from email.message import EmailMessage

from flask import Blueprint, Response, abort, render_template, request

from roster.services import delivery, messages
from roster.web.access import Audience, allow

blueprint = Blueprint("outbox", __name__)
PAGE = 50
_MAIL_POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox allow-top-navigation"


@dataclass(frozen=True)
class Opened:
    """The parts of a mail as a person reads them."""

    headers: list[tuple[str, str]]
    text: str
    html: str
    invitation: str


def _opened(message: EmailMessage) -> Opened:
    parts = {"text/plain": "", "text/html": "", "text/calendar": ""}
    for part in message.walk():
        if part.get_content_type() in parts:
            content = part.get_payload(decode=True)
            parts[part.get_content_type()] = (
                content.decode("utf-8") if isinstance(content, bytes) else ""
            )
    shown = ("From", "To", "Subject", "Date", "Message-ID", "In-Reply-To")
    headers = [(name, str(message[name])) for name in shown if message[name]]
    return Opened(headers, parts["text/plain"], parts["text/html"], parts["text/calendar"])


@blueprint.get("/outbox")
@allow(Audience.ANYONE, development=True)
def listing() -> str:
    """Messages, newest first."""
    before = request.args.get("before", type=int)
    rows = messages.page(before, PAGE + 1)
    names = messages.names(rows)
    more = rows[PAGE - 1].id if len(rows) > PAGE else None
    return render_template("public/outbox.html", rows=rows[:PAGE], names=names, more=more)


@blueprint.get("/outbox/<int:number>")
@allow(Audience.ANYONE, development=True)
def page(number: int) -> str:
    """One message: who, what, the text, and the invitation decoded."""
    row = messages.one(number)
    message = delivery.preview(number)
    opened = _opened(message) if message else None
    return render_template("public/outbox_message.html", row=row, mail=opened)


@blueprint.get("/outbox/<int:number>/html")
@allow(Audience.ANYONE, development=True)
def html(number: int) -> Response:
    """The HTML of one message, as a mail reader shows it."""
    message = delivery.preview(number)
    if message is None:
        abort(404)
    answer = Response(_opened(message).html, content_type="text/html; charset=utf-8")
    answer.headers["Content-Security-Policy"] = _MAIL_POLICY
    return answer
