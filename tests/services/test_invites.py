"""Who is told what after an event or a spot changed: one message a person, none for nothing."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask import Flask

from roster.mail.memory import MemorySender
from roster.services import messages
from roster.services.clock import SetClock
from roster.store.transaction import read
from tests.support.crew_mail import (
    ask,
    call_off,
    kinds,
    move,
    person_actor,
    published,
    put,
    queued,
    send_all,
    settle,
)

AFTER_THE_WAIT = timedelta(minutes=11)


def test_opening_an_event_mails_nobody(both: Flask) -> None:
    assert kinds(published()) == []


def test_a_spot_brings_an_invitation_that_waits_ten_minutes(both: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    (row,) = queued()
    assert kinds(world) == [("invitation", "volunteer")]
    assert row.not_before - row.made_at == timedelta(minutes=10)
    sender = MemorySender()
    clock.forward(timedelta(minutes=9, seconds=59))
    assert send_all(sender) == {}
    clock.forward(timedelta(seconds=1))
    assert send_all(sender) == {"sent": 1}


def everybody(kind: str) -> list[tuple[str, str]]:
    """Crew, lead and minor, and the copy for the minor's guardian."""
    return sorted([(kind, "crew"), (kind, "lead"), (kind, "minor"), ("guardian_copy", "guardian")])


def test_a_moved_event_tells_the_crew_and_the_lead_once_each(both: Flask) -> None:
    world = published()
    n = move(world, timedelta(days=1))
    assert sorted(kinds(world)) == everybody("update")
    assert {row.n for row in queued()} == {n}


def test_two_moves_within_the_wait_go_out_as_one_mail(both: Flask) -> None:
    world = published()
    move(world, timedelta(days=1))
    last = move(world, timedelta(days=1))
    assert sorted(kinds(world)) == everybody("update")
    assert {row.n for row in queued()} == {last}


def test_who_was_not_invited_yet_gets_the_invitation_with_the_new_facts_only(both: Flask) -> None:
    world = published()
    put(world, "volunteer", "placed")
    last = move(world, timedelta(days=1))
    mine = [row for row in queued() if row.person == world.people["volunteer"]]
    assert [(row.kind, row.n) for row in mine] == [("invitation", last)]


def test_a_spot_given_up_at_once_sends_nothing_at_all(both: Flask) -> None:
    world = published()
    put(world, "volunteer", "placed")
    put(world, "volunteer", "withdrawn", person_actor(world.people["volunteer"]))
    assert kinds(world, "waiting") == []
    assert kinds(world, "cancelled") == [("invitation", "volunteer")]


def test_a_spot_given_up_after_the_invitation_takes_the_event_out_of_the_calendar(
    both: Flask, clock: SetClock
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    clock.forward(AFTER_THE_WAIT)
    send_all(MemorySender())
    before = read(lambda s: s.events.row(world.events["own"]).sequence)
    put(world, "volunteer", "withdrawn", person_actor(world.people["volunteer"]))
    assert kinds(world, "waiting") == [("cancellation", "volunteer")]
    # RFC 5546 section 3.2.5: a CANCEL counts SEQUENCE up
    assert read(lambda s: s.events.row(world.events["own"]).sequence) == before + 1


def test_who_is_taken_off_by_a_coordinator_is_told_even_before_any_invitation(
    both: Flask,
) -> None:
    world = published()
    put(world, "volunteer", "placed")
    put(world, "volunteer", "withdrawn", person_actor(world.people["coordinator"]))
    assert kinds(world, "waiting") == [("cancellation", "volunteer")]


def test_calling_off_takes_back_what_is_unsent_and_tells_everyone(both: Flask) -> None:
    world = published()
    put(world, "volunteer", "waiting", line_no=1)
    move(world, timedelta(days=1))
    told = call_off(world, "The road is closed.")
    assert told == 4
    wanted = [*everybody("call_off"), ("call_off", "volunteer")]
    assert sorted(kinds(world, "waiting")) == sorted(wanted)


@pytest.mark.parametrize(("days_ahead", "waits"), [(1, False), (4, True)])
def test_news_of_an_event_within_two_days_never_waits(
    both: Flask, days_ahead: int, waits: bool
) -> None:
    world = published(days_ahead)
    call_off(world, "Smoke.")
    row = queued()[0]
    assert (row.not_before > row.made_at) is waits
    assert row.safety is not waits


def test_an_offer_takes_the_place_of_the_waiting_mail_and_never_waits(both: Flask) -> None:
    world = published()
    put(world, "volunteer", "waiting", line_no=1)
    put(world, "volunteer", "offered", offered_until=None)
    (row,) = queued("waiting")
    assert row.kind == "offered_spot"
    assert row.not_before == row.made_at


def test_asking_and_agreeing_brings_the_event_into_the_calendar(both: Flask) -> None:
    world = published()
    ask(world, "volunteer")
    assert kinds(world, "waiting") == [("lead_asked", "volunteer")]
    ask(world, "regional", "agreed")
    assert ("invitation", "regional") in kinds(world, "waiting")


@pytest.mark.parametrize(("sent", "told"), [(True, ["lead_found"]), (False, [])])
def test_who_was_asked_in_vain_is_thanked_only_if_the_question_had_left(
    both: Flask, clock: SetClock, sent: bool, told: list[str]
) -> None:
    world = published()
    ask(world, "volunteer")
    sender = MemorySender()
    if sent:
        clock.forward(AFTER_THE_WAIT)
        send_all(sender)
    settle(world, "volunteer", "lapsed")
    assert [k for k, _ in kinds(world, "waiting")] == told
    clock.forward(AFTER_THE_WAIT)
    send_all(sender)
    assert len(sender.sent) == (2 if sent else 0)


def test_who_no_longer_leads_is_taken_off_and_who_keeps_a_spot_is_invited_anew(
    both: Flask,
) -> None:
    world = published()
    ask(world, "crew", "agreed")
    settle(world, "crew", "replaced")
    ask(world, "volunteer", "agreed")
    settle(world, "volunteer", "replaced")
    assert kinds(world, "waiting") == [("invitation", "crew"), ("cancellation", "volunteer")]


def test_the_guardian_of_a_minor_gets_a_copy_and_others_none(both: Flask) -> None:
    world = published()
    put(world, "minor", "placed")
    put(world, "volunteer", "placed")
    assert sorted(kinds(world)) == [
        ("guardian_copy", "guardian"),
        ("invitation", "minor"),
        ("invitation", "volunteer"),
    ]


def test_who_signs_up_again_is_invited_again(both: Flask, clock: SetClock) -> None:
    world = published()
    for state in ("placed", "withdrawn", "placed"):
        put(world, "volunteer", state, person_actor(world.people["volunteer"]))
    assert kinds(world, "waiting") == [("invitation", "volunteer")]


def test_the_same_thing_is_queued_once(both: Flask) -> None:
    from tests.support.crew_mail import act

    world = published()
    one = world.people["crew"]

    def twice(store: object) -> list[int | None]:
        event = world.events["own"]
        return [
            messages.queue(store, "reminder", event=event, n=2, person=one, dedupe="once")  # type: ignore[arg-type]
            for _ in range(2)
        ]

    first, second = act(twice)
    assert first is not None
    assert second is None
    assert queued()[0].once == "at_most_once"
