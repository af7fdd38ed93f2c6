"""Messages: the parts in order, the same bytes at every try, no header that was smuggled in."""

from __future__ import annotations

from dataclasses import replace
from email import message_from_bytes, policy
from email.message import EmailMessage

import icalendar
import pytest
import vobject

from roster.ical.check import check_invitation
from roster.ical.invites import Invitee, Party, request
from roster.mail.message import Body, CalendarPart, Mailbox, compose, message_id
from roster.mail.wording import Kind
from tests.ical.samples import BALSAMROOT
from tests.mail.samples import BEA, ENVELOPE, WORDING, letter

INVITE = request(BALSAMROOT, Party("muster@example.org"), Invitee(Party(BEA.address, BEA.name)))
PART = CalendarPart(INVITE, "REQUEST")
BODY = WORDING.body(letter(Kind.INVITATION))


def sent(message: EmailMessage) -> EmailMessage:
    return message_from_bytes(message.as_bytes(), policy=policy.SMTP)


def test_an_invitation_has_its_parts_in_the_order_of_rfc_6047() -> None:
    message = sent(compose(ENVELOPE, BODY, PART))
    assert [part.get_content_type() for part in message.walk()] == [
        "multipart/mixed",
        "multipart/alternative",
        "text/plain",
        "text/html",
        "text/calendar",
        "application/ics",
    ]


def test_the_calendar_part_names_its_method_and_both_copies_are_the_bytes_given() -> None:
    message = sent(compose(ENVELOPE, BODY, PART))
    calendar, attached = list(message.walk())[4:]
    assert calendar["Content-Type"].params["method"] == "REQUEST"
    assert calendar["Content-Type"].params["charset"].lower() == "utf-8"
    assert calendar["Content-Disposition"] is None
    assert attached.get_filename() == "invite.ics"
    for part in (calendar, attached):
        assert part["Content-Transfer-Encoding"] == "base64"
        assert part.get_payload(decode=True) == INVITE
    assert check_invitation(INVITE, "REQUEST") == []


def test_two_parsers_read_the_invitation_out_of_the_mail() -> None:
    content = list(sent(compose(ENVELOPE, BODY, PART)).walk())[4].get_payload(decode=True)
    assert isinstance(content, bytes)
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    other = vobject.readOne(content.decode()).vevent
    assert str(event["UID"]) == other.uid.value == BALSAMROOT.uid
    assert str(event["ATTENDEE"]) == other.attendee.value == "mailto:bea@example.org"
    assert event["DTSTART"].dt == other.dtstart.value


def test_the_same_arguments_give_the_same_bytes() -> None:
    assert compose(ENVELOPE, BODY, PART).as_bytes() == compose(ENVELOPE, BODY, PART).as_bytes()


def test_each_header_stands_once_and_the_mail_says_that_a_machine_wrote_it() -> None:
    message = sent(compose(ENVELOPE, BODY, PART))
    for name in ("From", "To", "Date", "Message-ID", "Subject", "MIME-Version"):
        assert len(message.get_all(name, [])) == 1
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["To"].addresses[0].addr_spec == "bea@example.org"
    assert message["Date"].datetime == ENVELOPE.date


def test_a_later_mail_of_a_thread_points_to_the_first() -> None:
    first = "<first@muster.example.org>"
    later = compose(replace(ENVELOPE, thread=first), BODY)
    assert later["In-Reply-To"] == later["References"] == first
    assert compose(replace(ENVELOPE, thread=ENVELOPE.message_id), BODY)["References"] is None


def test_text_beyond_ascii_arrives_unchanged() -> None:
    body = Body("Zoë: señal", "Größe 🌾\n" + "ä" * 2000 + "\n", "<p>Größe 🌾</p>\n")
    message = sent(compose(replace(ENVELOPE, to=Mailbox("z@example.org", "Zoë Ñu")), body))
    text = message.get_body(("plain",))
    assert text is not None
    assert text.get_content() == body.text.replace("\n", "\r\n") or text.get_content() == body.text
    assert message["Subject"] == "Zoë: señal"
    assert message["To"].addresses[0].display_name == "Zoë Ñu"


@pytest.mark.parametrize("evil", ["a\r\nBcc: x@example.org", "a\nX: 1", "a\u2028X: 1", "a\x00b"])
def test_no_header_can_be_smuggled_in(evil: str) -> None:
    named = replace(ENVELOPE, to=Mailbox("bea@example.org", evil))
    message = sent(compose(named, Body(evil, "x\n", "x\n")))
    assert message["Bcc"] is None
    assert message["X"] is None
    assert not message.defects


@pytest.mark.parametrize(
    "address",
    ["", "bea", "a b@example.org", "a@example.org, b@example.org", "a@exa\r\nmple.org", "<a@b.c>"],
)
def test_what_is_not_one_address_is_refused(address: str) -> None:
    with pytest.raises(ValueError, match="not one mail address"):
        Mailbox(address)


def test_a_message_id_is_the_same_at_every_try_and_differs_by_row_and_secret() -> None:
    one = message_id("update:7", b"secret", "example.org")
    assert one == message_id("update:7", b"secret", "example.org")
    others = [
        message_id("update:8", b"secret", "example.org"),
        message_id("update:7", b"other", "example.org"),
    ]
    assert len({one, *others}) == 3
