"""The worker: leases, both classes, back-off."""

from __future__ import annotations

import shutil
from datetime import timedelta
from email.message import EmailMessage
from pathlib import Path

import pytest
from flask import Flask

from roster.mail.memory import MemorySender
from roster.mail.sender import DeliveryError
from roster.services import delivery, messages
from roster.services.clock import SetClock, machine_now
from roster.services.delivery import WORKER
from roster.store.transaction import read, write
from tests.support.crew_mail import (
    act,
    call_off,
    change_message,
    change_person,
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


def text_of(message: EmailMessage) -> str:
    body = message.get_body(("plain",))
    assert body is not None
    return str(body.get_content())


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
    assert seen == {"Crew Test": clock.now(), "Lead Test": None, "Minor Test": None}


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
