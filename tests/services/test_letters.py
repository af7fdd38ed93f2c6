"""What each mail says, and the calendar part it carries."""

from __future__ import annotations

from datetime import timedelta
from email.message import EmailMessage

import icalendar
import vobject
from flask import Flask

from roster.ical.check import check_invitation
from roster.mail.memory import MemorySender
from roster.mail.sender import DeliveryError
from roster.services.clock import SetClock
from roster.store.transaction import read
from tests.support.crew_mail import (
    UID,
    ask,
    call_off,
    change_event,
    change_person,
    move,
    person_actor,
    published,
    put,
    send_all,
)

LATER = timedelta(minutes=11)
REFUSED = DeliveryError("451 try later", for_good=False)


def sent_after(clock: SetClock, step: timedelta = LATER) -> MemorySender:
    """Everything that is due after a while, sent."""
    sender = MemorySender()
    clock.forward(step)
    send_all(sender)
    return sender


def calendar(message: EmailMessage) -> bytes:
    """The calendar part of a mail; both copies are the same bytes."""
    parts = {p.get_content_type(): p.get_payload(decode=True) for p in message.walk()}
    assert parts["text/calendar"] == parts["application/ics"]
    content = parts["text/calendar"]
    assert isinstance(content, bytes)
    return content


def event_in(message: EmailMessage) -> icalendar.Event:
    (found,) = icalendar.Calendar.from_ical(calendar(message)).walk("VEVENT")
    other = vobject.readOne(calendar(message).decode()).vevent
    assert str(found["UID"]) == other.uid.value
    assert found["DTSTART"].dt == other.dtstart.value
    assert isinstance(found, icalendar.Event)
    return found


def text_of(message: EmailMessage) -> str:
    body = message.get_body(("plain",))
    assert body is not None
    return str(body.get_content())


def test_an_invitation_says_what_one_must_know_and_carries_a_request(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    (mail,) = sent_after(clock).sent
    assert mail["Subject"] == ("Sat 26 Jun 2027, Arrowleaf balsamroot at Site own: you have a spot")
    text = text_of(mail)
    for words in ("Volunteer, you have a spot as crew member.", "Saturday 26 June 2027",
                  "07:00 to 12:00\u00a0PDT", "Meet: Gate, Site own", "Lead: Lead Test",
                  "Bring: 2 litres of water"):  # fmt: skip
        assert words in text
    content = calendar(mail)
    assert check_invitation(content, "REQUEST") == []
    event = event_in(mail)
    assert str(event["UID"]) == UID
    assert str(event["ATTENDEE"]) == "mailto:volunteer@example.org"
    assert event["ATTENDEE"].params["PARTSTAT"] == "ACCEPTED"
    assert b"Lead Test" not in content  # no other person in a calendar


def test_an_update_says_what_changed_and_counts_up(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    (first,) = sent_after(clock).sent
    move(world, timedelta(days=1), why="The seed is riper than we thought.")
    sender = sent_after(clock)
    (update,) = sender.to("volunteer@example.org")
    assert update["Subject"].startswith("Changed: Sun 27 Jun 2027")
    assert "(before: Sat 26 Jun 2027, 07:00 to 12:00" in text_of(update)
    assert update["References"] == first["Message-ID"]
    old, new = event_in(first), event_in(update)
    assert (old["UID"], old["SEQUENCE"] + 1) == (new["UID"], new["SEQUENCE"])
    assert old["DTSTAMP"].dt < new["DTSTAMP"].dt
    assert check_invitation(calendar(update), "REQUEST") == []


def test_calling_off_sends_a_cancel_to_who_was_invited_and_words_to_the_rest(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    sent_after(clock)
    call_off(world, "The road is closed by the county.")
    sender = sent_after(clock)
    (mine,) = sender.to("volunteer@example.org")
    assert "The road is closed by the county." in text_of(mine)
    assert check_invitation(calendar(mine), "CANCEL") == []
    assert str(event_in(mine)["STATUS"]) == "CANCELLED"
    (others,) = sender.to("crew@example.org")  # was on the crew before any mail was sent
    assert [p.get_content_type() for p in others.walk()][-1] == "text/html"
    assert "attachment" not in text_of(others)


def test_who_gives_up_a_spot_gets_a_cancel_without_status(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    (invitation,) = sent_after(clock).sent
    put(world, "volunteer", "withdrawn", person_actor(world.people["volunteer"]))
    (mail,) = sent_after(clock).sent
    assert check_invitation(calendar(mail), "CANCEL") == []
    event = event_in(mail)
    assert "STATUS" not in event
    assert event["SEQUENCE"] > event_in(invitation)["SEQUENCE"]
    assert read(lambda s: s.invitations.sent_n(world.events["own"], world.people["volunteer"])) == 0


def test_who_was_only_on_the_list_is_told_of_the_list(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "waiting", line_no=1)
    put(world, "volunteer", "withdrawn", person_actor(world.people["coordinator"]))
    (mail,) = sent_after(clock).sent
    assert mail["Subject"].startswith("Off the list: Sat 26 Jun 2027")
    assert mail.get_content_type() == "multipart/alternative"


def test_an_expected_window_is_tentative_days(both: Flask, clock: SetClock) -> None:
    world = published()
    change_event(world, date_state="expected")
    move(world, timedelta(0), "changed")
    (mail,) = sent_after(clock).to("crew@example.org")
    event = event_in(mail)
    assert str(event["STATUS"]) == "TENTATIVE"
    assert f"{event['DTSTART'].dt} {event['DTEND'].dt}" == "2027-06-26 2027-06-27"
    assert "expected Sat 26 Jun 2027" in text_of(mail)


def test_what_is_no_longer_true_is_not_said(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "waiting", line_no=1)
    change_event(world, stage="done")
    put(world, "minor", "waiting", line_no=2)
    put(world, "minor", "placed")
    clock.forward(LATER)
    sender = MemorySender()
    done = send_all(sender)
    assert done == {"cancelled": 3}  # for the event is over: two mails, and a guardian's copy
    assert sender.sent == []


def test_a_question_to_lead_has_no_calendar_part(both: Flask, clock: SetClock) -> None:
    world = published()
    ask(world, "volunteer", until=clock.now() + timedelta(days=2))
    (mail,) = sent_after(clock).sent
    assert "Will you be data collector?" in mail["Subject"]
    assert "Please answer by Fri 18 Jun 2027, 08:10\u00a0PDT." in text_of(mail)
    assert mail.get_content_type() == "multipart/alternative"


def test_a_guardian_reads_of_the_minor_without_any_link(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "minor", "placed")
    sender = sent_after(clock)
    (copy,) = sender.to("guardian@example.org")
    assert "Minor has a spot as crew member." in text_of(copy)
    assert "http" not in text_of(copy)


def test_spanish_is_spoken_to_who_speaks_it(both: Flask, clock: SetClock) -> None:
    world = published()
    change_person(world.people["volunteer"], language="es")
    put(world, "volunteer", "placed")
    (mail,) = sent_after(clock).sent
    assert "sábado 26 de junio de 2027" in text_of(mail)
