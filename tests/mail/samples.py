"""One letter of each kind, and an envelope."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from roster.mail.message import Envelope, Mailbox
from roster.mail.wording import PLAIN, EventCard, Kind, Letter, Wording

TEMPLATES = Path(__file__).parents[2] / "templates"
WORDING = Wording(TEMPLATES, lambda language: PLAIN)
BEA = Mailbox("bea@example.org", "Bea Ashdown")
ENVELOPE = Envelope(
    message_id="<5a1f@muster.example.org>",
    date=datetime(2027, 6, 10, 9, 0, tzinfo=UTC),
    sender=Mailbox("muster@example.org", "Lantern and Quill seed programme"),
    to=BEA,
)
CARD = EventCard(
    title="Arrowleaf balsamroot at Marrow Butte",
    place="Marrow Butte",
    day_short="Sun 20 Jun 2027",
    weekday="Sunday",
    day_number="20",
    rest="June 2027, 07:00 to 12:30 PDT",
    lines=(("Meet", "Upper car park, Marrow Butte"), ("Bring", "2 litres of water, gloves")),
)
HOME = "https://muster.example.org"
LINKS = {
    "my_days": f"{HOME}/my-days",
    "event": f"{HOME}/events/418",
    "cannot_come": f"{HOME}/events/418/cannot-come",
    "help_needed": f"{HOME}/help",
    "sign_in": f"{HOME}/sign-in#k3f9",
    "seen_it": f"{HOME}/seen/k3f9",
    "answer": f"{HOME}/l/k3f9",
    "consent": f"{HOME}/consent/k3f9",
}
FACTS: dict[Kind, dict[str, object]] = {
    Kind.SIGN_IN: {"code": "7H2K-9QWX", "minutes": 10},
    Kind.INVITATION: {"role": "crew member", "attached": True},
    Kind.UPDATE: {
        "attached": True,
        "role": "crew member",
        "changes": [("Starts", "07:00", "06:00"), ("Meet", "Upper car park", "Lower gate")],
    },
    Kind.CANCELLATION: {"attached": True},
    Kind.CALL_OFF: {"why": "The road is closed by the county.", "attached": False},
    Kind.OFFERED_SPOT: {"until": "Mon 14 Jun, 18:00 PDT"},
    Kind.WAITING: {"line_no": 3},
    Kind.LEAD_ASKED: {"role": "lead", "until": "Mon 14 Jun, 18:00 PDT"},
    Kind.LEAD_FOUND: {"role": "lead"},
    Kind.ASKED_AGAIN: {
        "role": "crew member",
        "until": "Mon 14 Jun, 18:00 PDT",
        "changes": [("Starts", "Sun 20 Jun", "Tue 22 Jun")],
        "attached": True,
    },
    Kind.REMINDER: {"role": "crew member"},
    Kind.SEEN_IT: {"text": "Smoke is moved in: the event begins at 05:00 or not at all."},
    Kind.GUARDIAN_COPY: {"minor": "Wren", "what": "Wren has a spot as crew member."},
    Kind.GUARDIAN_CONSENT_LINK: {"minor": "Wren", "until": "Sun 20 Jun"},
}
WITHOUT_EVENT = (Kind.SIGN_IN, Kind.GUARDIAN_CONSENT_LINK, Kind.SEVERAL)


def letter(kind: Kind, **facts: object) -> Letter:
    """A letter to Bea with everything its kind needs; facts may be given in place."""
    return Letter(
        kind=kind,
        language="en",
        programme="Lantern and Quill seed programme",
        name="Bea",
        links=LINKS,
        event=None if kind in WITHOUT_EVENT else CARD,
        facts={**FACTS[kind], **facts},
    )


FACTS[Kind.SEVERAL] = {"items": [letter(Kind.CALL_OFF), letter(Kind.ASKED_AGAIN)]}
