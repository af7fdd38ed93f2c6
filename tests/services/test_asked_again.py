"""A move asks each placed person again, on both databases."""

import re
from datetime import timedelta

import pytest

from roster.domain.errors import RuleBroken
from roster.domain.people import Role
from roster.jobs import slots
from roster.mail.memory import MemorySender
from roster.services import crewcheck, jobs, spots
from roster.services.event_changes import EventChange, change_event
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.crew_mail import send_all
from tests.support.crews import (
    TEST,
    add_people,
    as_person,
    crew,
    lapse,
    meeting,
    open_event,
    states,
    taken,
)

pytestmark = pytest.mark.usefixtures("both")


def move(event, **by):
    now = read(lambda s: s.events.get(event))
    shift = timedelta(**by)
    change_event(
        TEST,
        event,
        EventChange(local_start=now.local_start + shift, local_end=now.local_end + shift),
    )


def findings(event):
    return {f.reason.code: f.reason.facts for f in crewcheck.check(TEST, event).findings}


def queue(event):
    rows = read(lambda store: store.outbox.page(None, 200, ()))
    return sorted((r.person, r.kind) for r in rows if r.event == event and r.state == "waiting")


def test_a_move_keeps_the_spots_but_nobody_counts_before_a_yes():
    event = open_event()
    people = crew(event)
    move(event, days=2)
    assert set(states(event).values()) == {"offered"}
    assert taken(event) == 3
    assert queue(event) == [(p, "asked_again") for p in sorted(people)]
    said = findings(event)
    assert said["asked_again_unanswered"]["n"] == 3
    assert said["crew_too_small"]["n"] == 0
    assert "lead_missing" in said
    for person in people[:2]:
        spots.accept_offer(as_person(person), event, person)
    said = findings(event)
    assert said["asked_again_unanswered"]["n"] == 1
    assert said["crew_too_small"]["n"] == 2
    assert "lead_missing" not in said


def test_a_small_shift_on_the_day_is_told_and_asks_nobody():
    event = open_event()
    crew(event)
    move(event, minutes=60)
    assert set(states(event).values()) == {"placed"}


def test_the_link_of_the_mail_answers_without_signing_in(clock, both):
    event = meeting(2)
    one, two = add_people(2)
    for person in (one, two):
        spots.sign_up(as_person(person), event, person)
    move(event, days=1)
    clock.forward(timedelta(minutes=11))
    sender = MemorySender()
    send_all(sender)
    found = [re.search(r"/l/[\w-]+", m.as_string().replace("=\r\n", "").replace("=\n", ""))
             for m in sender.sent]  # fmt: skip
    paths = [m.group(0) for m in found if m]
    assert len(paths) == 2
    browser = Browser(both)
    assert "Can you still come?" in browser.text(paths[0])
    assert states(event) == {one: "offered", two: "offered"}
    assert browser.post(paths[0], answer="yes").status_code == 303
    assert browser.post(paths[1], answer="no").status_code == 303
    assert sorted(states(event).values()) == ["placed", "withdrawn"]
    assert "You have a spot" in browser.text(paths[0])
    # a second press changes nothing
    browser.post(paths[0], answer="no")
    assert sorted(states(event).values()) == ["placed", "withdrawn"]


def test_who_is_not_cleared_on_the_new_day_cannot_say_yes():
    event = open_event()
    [one] = add_people(1)
    spots.sign_up(as_person(one), event, one)
    start = read(lambda s: s.events.get(event)).first_day
    lapse(one, Role.CREW_MEMBER, start + timedelta(days=2))
    move(event, days=2)
    with pytest.raises(RuleBroken):
        spots.accept_offer(as_person(one), event, one)
    move(event, days=-1)
    assert spots.accept_offer(as_person(one), event, one) == {"state": "placed"}


def test_a_lead_who_cannot_come_on_the_new_day_gives_the_role_back():
    event = open_event()
    lead, *_others = crew(event)
    move(event, days=2)
    spots.decline_offer(as_person(lead), event, lead)
    asks = read(lambda s: s.leads.asks(event))
    assert [a.state for a in asks if a.person == lead] == ["declined"]


def test_silence_makes_room_for_who_waits_and_else_keeps_the_spot(clock):
    event = meeting(2)
    one, two, three = add_people(3)
    for person in (one, two, three):
        spots.sign_up(as_person(person), event, person)
    move(event, days=6)
    clock.forward(timedelta(hours=49))
    jobs.run(slots.due(clock.now()), "test", clock.now())
    assert states(event) == {one: "offered", two: "withdrawn", three: "placed"}
    assert spots.accept_offer(as_person(one), event, one) == {"state": "placed"}
