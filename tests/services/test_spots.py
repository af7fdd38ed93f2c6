"""Sign-up, waiting list, offers and withdrawal, on both databases."""

from datetime import date, timedelta

import pytest

from roster.domain.errors import NotAllowed, NotFound, RuleBroken
from roster.domain.events import DateState
from roster.domain.people import Role
from roster.jobs import slots
from roster.services import crewcheck, events, jobs, spots
from roster.services.event_changes import EventChange, change_event, fix_day
from roster.store.models.people import busy
from roster.store.transaction import read
from tests.support.crews import (
    TEST,
    add_people,
    as_person,
    crew,
    days_before,
    duty,
    lapse,
    meeting,
    open_event,
    seat,
    states,
    taken,
)
from tests.support.land import EVENT_DAY, land, permit

pytestmark = pytest.mark.usefixtures("both")


def sign_up(event, person, role="crew_member", operation=None):
    return spots.sign_up(as_person(person), event, person, role, operation)


def why_not(act, *given):
    with pytest.raises(RuleBroken) as caught:
        act(*given)
    return [r.code for r in caught.value.reasons]


def busy_days(person):
    return read(lambda s: [r.day for r in s.unit.run(busy.select().where(busy.c.root == person))])


def journal(event):
    return read(lambda store: [line.verb for line in store.journal.of("event", event)])


def mails(event, person):
    rows = read(lambda store: store.outbox.page(None, 100, ()))
    return [r.kind for r in rows if r.event == event and r.person == person]


def test_the_last_spot_is_given_once_and_the_next_person_waits():
    event = meeting(2)
    one, two, three, four = add_people(4)
    assert sign_up(event, one) == {"state": "placed", "line": None}
    assert sign_up(event, two)["state"] == "placed"
    assert sign_up(event, three) == {"state": "waiting", "line": 1}
    assert sign_up(event, four) == {"state": "waiting", "line": 2}
    assert taken(event) == 2
    assert "signed_up" in journal(event)
    assert mails(event, one) == ["invitation"]
    assert mails(event, three) == ["waiting"]


def test_sending_the_same_form_twice_takes_one_spot():
    event = meeting(2)
    [one] = add_people(1)
    first = sign_up(event, one, operation="b1a7b2a0-0000-4000-8000-000000000001")
    again = sign_up(event, one, operation="b1a7b2a0-0000-4000-8000-000000000001")
    assert first == again
    assert taken(event) == 1
    assert why_not(sign_up, event, one) == ["already_has_a_spot"]


def test_a_placed_person_is_busy_that_day_and_free_again_after_withdrawing():
    event = meeting(2)
    [one] = add_people(1)
    sign_up(event, one)
    assert busy_days(one) == [EVENT_DAY]
    spots.withdraw(as_person(one), event, one)
    assert busy_days(one) == []
    assert states(event) == {one: "withdrawn"}
    assert taken(event) == 0


def test_one_spot_each_stays_kept_for_lead_and_data_collector():
    event = open_event(capacity=4)
    one, two, three = add_people(3)
    [lead] = add_people(1, Role.LEAD)
    assert [sign_up(event, p)["state"] for p in (one, two, three)] == [
        "placed", "placed", "waiting",
    ]  # fmt: skip
    seat(event, lead, Role.LEAD)
    assert states(event)[lead] == "placed"
    assert taken(event) == 3


def test_the_land_managers_ceiling_counts_before_the_capacity():
    ground = land()
    event = open_event(ground, capacity=8)
    permit(ground.site, [ground.taxon], people=4)
    people = add_people(3)
    assert [sign_up(event, p)["state"] for p in people] == ["placed", "placed", "waiting"]


def test_only_who_is_cleared_on_the_events_day_may_come():
    event = open_event()
    inside, outside = add_people(2)
    lapse(inside, Role.CREW_MEMBER, EVENT_DAY + timedelta(days=1))
    lapse(outside, Role.CREW_MEMBER, EVENT_DAY)
    assert sign_up(event, inside)["state"] == "placed"
    assert why_not(sign_up, event, outside) == ["no_track"]
    assert states(event) == {inside: "placed"}


def test_nobody_signs_up_to_lead_and_data_collectors_must_be_cleared():
    event = open_event()
    [one] = add_people(1)
    [collector] = add_people(1, Role.DATA_COLLECTOR)
    assert why_not(sign_up, event, one, "lead") == ["role_not_for_sign_up"]
    assert why_not(sign_up, event, one, "data_collector") == ["no_track"]
    assert sign_up(event, collector, "data_collector")["state"] == "placed"


def test_hours_that_overlap_with_the_way_between_bar_a_second_event():
    ground = land()
    first, second = open_event(ground), open_event(ground)
    other_day = open_event(ground, day=date(2027, 6, 21))
    [one] = add_people(1)
    sign_up(first, one)
    assert why_not(sign_up, second, one) == ["overlaps_other_event"]
    assert sign_up(other_day, one)["state"] == "placed"


def test_a_minor_without_a_guardians_consent_is_refused_and_nothing_is_written():
    event = meeting(3)
    [minor] = add_people(1, born_on=date(2011, 5, 1))
    assert "guardian_yes_missing" in why_not(sign_up, event, minor)
    assert states(event) == {}
    assert "signed_up" not in journal(event)


def test_only_the_person_or_staff_may_act_for_a_person():
    event = meeting(3)
    one, two = add_people(2)
    with pytest.raises(NotAllowed):
        spots.sign_up(as_person(one), event, two)
    with pytest.raises(NotAllowed):
        spots.place(as_person(one), event, one)
    assert spots.place(TEST, event, two) == {"state": "placed"}
    with pytest.raises(NotFound):
        spots.place(TEST, event, 10**9)


@pytest.mark.parametrize(
    ("days", "state", "told"),
    [(3.01, "placed", "placed"), (2.99, "offered", "offered"), (1.01, "offered", "offered"),
     (0.99, "waiting", "phone")],
    ids=["over 72 h", "under 72 h", "over 24 h", "under 24 h"],
)  # fmt: skip
def test_who_moves_up_when_somebody_withdraws(days, state, told, clock):
    event = meeting(1)
    first, second, third = add_people(3)
    for person in (first, second, third):
        sign_up(event, person)
    clock.forward(days_before(days))
    found = spots.withdraw(as_person(first), event, first)
    expected = [second, third] if told == "phone" else [second]
    assert found[told] == expected
    assert states(event) == {first: "withdrawn", second: state, third: "waiting"}
    assert taken(event) == (0 if told == "phone" else 1)


def test_a_lapsed_person_on_the_list_is_passed_over():
    event = open_event(capacity=3)
    first, second, third = add_people(3)
    for person in (first, second, third):
        sign_up(event, person)
    lapse(second, Role.CREW_MEMBER, EVENT_DAY)
    assert spots.withdraw(as_person(first), event, first)["placed"] == [third]
    assert states(event)[second] == "waiting"


def test_an_offer_is_accepted_or_goes_to_the_next_when_declined(clock):
    event = meeting(1)
    first, second, third = add_people(3)
    for person in (first, second, third):
        sign_up(event, person)
    clock.forward(days_before(2))
    spots.withdraw(as_person(first), event, first)
    assert why_not(spots.accept_offer, as_person(third), event, third) == ["no_offer_open"]
    assert spots.decline_offer(as_person(second), event, second)["offered"] == [third]
    assert spots.accept_offer(as_person(third), event, third) == {"state": "placed"}
    assert states(event) == {first: "withdrawn", second: "withdrawn", third: "placed"}
    assert taken(event) == 1


def test_an_offer_that_nobody_answers_ends_by_itself_and_the_next_is_asked(clock):
    event = meeting(1)
    first, second, third = add_people(3)
    for person in (first, second, third):
        sign_up(event, person)
    clock.forward(days_before(2))
    spots.withdraw(as_person(first), event, first)
    clock.forward(timedelta(hours=12))
    jobs.run(slots.due(clock.now()), "test", clock.now())
    assert states(event)[second] == "offered"
    clock.forward(timedelta(minutes=1))
    assert why_not(spots.accept_offer, as_person(second), event, second) == ["offer_has_lapsed"]
    jobs.run(slots.due(clock.now()), "test", clock.now())
    assert states(event) == {first: "withdrawn", second: "withdrawn", third: "offered"}


def test_the_coordinator_places_from_the_list_after_a_phone_call_but_never_beyond_the_last(clock):
    event = meeting(1)
    first, second = add_people(2)
    for person in (first, second):
        sign_up(event, person)
    assert why_not(spots.place, TEST, event, second) == ["no_spot_left"]
    clock.forward(days_before(0.5))
    spots.withdraw(as_person(first), event, first)
    assert spots.place(TEST, event, second) == {"state": "placed"}


def test_a_lead_who_withdraws_alarms_frees_the_role_and_the_ready_event_falls_back():
    ground = land()
    event = open_event(ground, vehicles=2)
    lead, *_ = crew(event)
    duty(ground, event)
    events.mark_ready(TEST, event)
    found = spots.withdraw(as_person(lead), event, lead)
    assert found["alarm"] == "key_person_withdrew"
    assert read(lambda s: s.events.get(event)).stage == "open"
    assert "fell_back" in journal(event)


def test_the_summary_follows_each_sign_up_and_withdrawal():
    event = open_event()
    *_, third = crew(event)
    summary = read(lambda s: s.summary.of(event))
    assert (summary.numbers.short, summary.numbers.leads, summary.numbers.adults) == (0, 1, 3)
    spots.withdraw(as_person(third), event, third)
    summary = read(lambda s: s.summary.of(event))
    assert (summary.numbers.short, summary.numbers.placed) == (1, 2)
    assert "crew_too_small" in [f.reason.code for f in summary.findings]
    fresh = [f for f in crewcheck.check(TEST, event).findings if f.level != "clear"]
    duty_codes = {"duty_person_missing", "stand_in_missing"}
    assert [f for f in fresh if f.reason.code not in duty_codes] == list(summary.findings)


def test_while_the_day_is_not_fixed_people_ask_and_take_no_spot():
    ground = land()
    event = open_event(ground, date_state=DateState.EXPECTED)
    [one] = add_people(1)
    assert sign_up(event, one) == {"state": "asked", "line": None}
    assert taken(event) == 0
    assert busy_days(one) == []


def test_more_spots_let_the_waiting_list_move_up():
    event = meeting(1)
    first, second, third = add_people(3)
    for person in (first, second, third):
        sign_up(event, person)
    change_event(TEST, event, EventChange(capacity=2))
    assert states(event) == {first: "placed", second: "placed", third: "waiting"}
    assert mails(event, second)[0] == "invitation"


def test_who_asked_is_placed_on_saying_so_again_once_the_day_is_fixed():
    event = open_event(date_state=DateState.EXPECTED)
    [one] = add_people(1)
    sign_up(event, one)
    start = read(lambda s: s.events.get(event)).local_start
    fix_day(TEST, event, start, start + timedelta(hours=5))
    assert states(event) == {one: "asked"}
    assert sign_up(event, one)["state"] == "placed"
