"""The worker: leases, both classes, back-off, the words of each mail and its calendar part."""

from __future__ import annotations

import shutil
from datetime import timedelta
from email.message import EmailMessage
from pathlib import Path

import icalendar
import pytest
import vobject
from flask import Flask

from roster.ical.check import check_invitation
from roster.mail.memory import MemorySender
from roster.mail.sender import DeliveryError
from roster.services import delivery, messages
from roster.services.clock import SetClock, machine_now
from roster.services.delivery import WORKER
from roster.store.transaction import read, write
from tests.support.crew_mail import (
    UID,
    act,
    ask,
    call_off,
    change_event,
    change_message,
    change_person,
    move,
    person_actor,
    published,
    put,
    queued,
    send_all,
)
from tests.support.world import World

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


def test_a_refusal_for_now_is_tried_again_later_and_later(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    clock.forward(LATER)
    sender = MemorySender()
    waits = []
    for _ in range(4):
        sender.refusals.append(REFUSED)
        assert send_all(sender) == {"later": 1}
        (row,) = queued()
        waits.append(row.not_before - clock.now())
        clock.forward(waits[-1])
    assert waits == [timedelta(minutes=m) for m in (1, 5, 25, 120)]
    sender.refusals.append(REFUSED)
    assert send_all(sender) == {"failed": 1}
    assert queued()[0].said == "451 try later"
    messages.retry(WORKER, queued()[0].id)
    assert send_all(sender) == {"sent": 1}


def test_a_refusal_for_good_is_not_tried_again(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    clock.forward(LATER)
    sender = MemorySender()
    sender.refusals.append(DeliveryError("550 no such box", for_good=True))
    assert send_all(sender) == {"failed": 1}
    clock.forward(timedelta(days=1))
    assert send_all(sender) == {}


def test_a_worker_that_died_while_sending_repeats_the_same_message(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    clock.forward(LATER)
    now = machine_now()
    taken = write(lambda s: s.outbox.claim("dead", now, now + delivery.LEASE, 10), actor=WORKER)
    (row,) = taken
    first = read(lambda s: delivery.compose_mail(s, row))  # it left, and then the worker died
    sender = MemorySender()
    assert send_all(sender) == {}  # the lease still holds
    clock.forward(delivery.LEASE + timedelta(seconds=1))
    assert send_all(sender) == {"sent": 1}
    assert first is not None
    assert sender.sent[0].as_bytes() == first.message.as_bytes()


def test_a_message_that_must_not_go_twice_stays_unknown_when_its_worker_died(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    act(
        lambda s: messages.queue(
            s, "reminder", event=world.events["own"], n=2, person=world.people["crew"], dedupe="r"
        )
    )
    now = machine_now()
    (row,) = write(lambda s: s.outbox.claim("dead", now, now + delivery.LEASE, 10), actor=WORKER)
    assert write(lambda s: s.outbox.begin_sending(row.id, "dead"), actor=WORKER)
    clock.forward(delivery.LEASE + timedelta(seconds=1))
    assert send_all(MemorySender()) == {}
    assert queued()[0].state == "unknown"


def test_a_message_that_must_not_go_twice_is_not_repeated_after_a_broken_line(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "waiting", line_no=1)
    clock.forward(LATER)
    sender = MemorySender()
    sender.refusals.append(DeliveryError("cut", for_good=False, unsure=True))
    assert send_all(sender) == {"unknown": 1}


def test_two_workers_never_hold_the_same_message(both: Flask, clock: SetClock) -> None:
    world = published()
    for who in ("volunteer", "regional", "coordinator"):
        put(world, who, "placed")
    clock.forward(LATER)
    now = machine_now()
    until = now + delivery.LEASE
    one = write(lambda s: s.outbox.claim("one", now, until, 2), actor=WORKER)
    two = write(lambda s: s.outbox.claim("two", now, until, 2), actor=WORKER)
    assert len(one) == 2
    assert len(two) == 1
    assert not {r.id for r in one} & {r.id for r in two}
    assert not write(lambda s: s.outbox.finish(one[0].id, "two", "sent", None), actor=WORKER)


def test_one_message_that_cannot_be_written_does_not_stop_the_others(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    put(world, "regional", "placed")
    change_message(queued()[0].id, kind="no such kind")
    clock.forward(LATER)
    assert send_all(MemorySender()) == {"later": 1, "sent": 1}


def test_a_message_that_outlived_five_workers_is_given_up(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    change_message(queued()[0].id, tries=5)
    clock.forward(LATER)
    assert send_all(MemorySender()) == {"failed": 1}


def test_urgent_mail_has_a_seen_it_link_that_is_recorded_once(both: Flask, clock: SetClock) -> None:
    world = published(1)
    call_off(world, "Smoke.")
    (mail,) = sent_after(clock, timedelta(0)).to("crew@example.org")
    link = next(w for w in text_of(mail).split() if "/seen/" in w)
    token = link.rsplit("/", 1)[1]
    assert messages.seen_page(token) == ("Arrowleaf balsamroot", "Crew Test")
    for _ in range(2):
        messages.see(WORKER, token)
    told = messages.told(person_actor(world.people["lead"]), world.events["own"])
    seen = {t.name: t.seen_at for t in told}
    assert seen == {"Crew Test": clock.now(), "Lead Test": None}


def test_the_queue_holds_no_name_address_or_text(both: Flask, clock: SetClock) -> None:
    from sqlalchemy import text

    world = published()
    put(world, "minor", "placed")
    call_off(world, "A secret reason.")
    rows = read(lambda s: s.unit.run(text("SELECT * FROM outbox")).all())
    everything = " ".join(str(value) for row in rows for value in row)
    for word in ("Minor", "example.org>x", "@example.org ", "secret", "Guardian"):
        assert word not in everything


@pytest.mark.parametrize("state", ["left", "erased"])
def test_nobody_who_has_left_is_written_to(both: Flask, clock: SetClock, state: str) -> None:
    world: World = published()
    put(world, "volunteer", "placed")
    change_person(world.people["volunteer"], state=state)
    assert sent_after(clock).sent == []
    assert queued()[0].state == "cancelled"


def test_development_files_what_is_sent(app: Flask, clock: SetClock, tmp_path: Path) -> None:
    world = published()
    put(world, "volunteer", "placed")
    clock.forward(LATER)
    assert send_all(delivery.sender_of_settings()) == {"sent": 1}
    folder = Path(app.extensions["roster"].config.instance) / "mail"
    (file,) = folder.glob("*.eml")
    assert b"volunteer@example.org" in file.read_bytes()
    found = delivery.preview(queued()[0].id)
    assert found is not None
    assert "you have a spot" in found["Subject"]
    shutil.rmtree(folder)
