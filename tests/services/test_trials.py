"""One change to many events, on both databases."""

from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.errors import NotAllowed, RuleBroken
from roster.domain.people import Role
from roster.domain.trial import Act, Wanted
from roster.mail.memory import MemorySender
from roster.services import closures, events, spots, trial_undo, trials
from roster.services.closures import NewClosure
from roster.store.transaction import read
from tests.support.crew_mail import send_all
from tests.support.crews import TEST, add_people, as_person, crew, lapse, open_event, seat, states
from tests.support.land import EVENT_DAY, land

pytestmark = pytest.mark.usefixtures("both")
MOVE = Wanted(Act.MOVE, 2, why="heat")


@pytest.fixture
def ground():
    return land()


@pytest.fixture
def two(ground):
    """Two events ten days apart, and a person who is on both."""
    pair = [open_event(ground, day=EVENT_DAY + timedelta(days=n)) for n in (0, 10)]
    [one] = add_people(1)
    for event in pair:
        spots.sign_up(as_person(one), event, one)
    return (*pair, one)


def row(event):
    return read(lambda s: s.events.row(event))


def waiting():
    rows = read(lambda store: store.outbox.page(None, 200, ()))
    return sorted((r.person, r.kind) for r in rows if r.state == "waiting")


def everything(event):
    """All of an event that a trial might touch."""
    return (
        row(event),
        read(lambda s: s.spots.of_event(event)),
        read(lambda s: s.leads.asks(event)),
        read(lambda s: [(m.id, m.state, m.n) for m in s.outbox.page(None, 200, ())]),
        read(lambda s: len(s.journal.of("event", event))),
    )


def sent(clock):
    clock.forward(timedelta(minutes=11))
    sender = MemorySender()
    send_all(sender)
    return sender.sent


def test_a_trial_writes_nothing_and_says_what_would_happen(two):
    first, second, _one = two
    before = [everything(e) for e in (first, second)]
    found = trials.try_out(TEST, MOVE, [second, first])
    assert [line.event.id for line in found.lines] == [first, second]
    assert [line.first for line in found.lines] == [
        EVENT_DAY + timedelta(days=2), EVENT_DAY + timedelta(days=12)
    ]  # fmt: skip
    assert [line.asked for line in found.lines] == [1, 1]
    assert found.people == 1
    stops = {f.reason.code: f.reason.facts for f in found.lines[0].stops}
    assert "lead_missing" in stops
    assert stops["crew_too_small"]["n"] == 1  # as if who is asked again says yes
    assert [everything(e) for e in (first, second)] == before


def test_sending_moves_all_and_mails_each_person_once(two, clock):
    first, second, one = two
    sent(clock)
    trials.send(TEST, MOVE, [first, second])
    assert row(first).day == EVENT_DAY + timedelta(days=2)
    assert states(second) == {one: "offered"}
    assert waiting() == [(one, "several")]
    [mail] = sent(clock)
    text = mail.get_body(("plain",)).get_content()
    assert text.count("/l/") == 2
    parts = [p.get_filename() for p in mail.iter_attachments()]
    assert parts == ["event-1.ics", "event-2.ics"]
    told = read(lambda s: s.events.answers(second))
    assert told == {one: None}


def test_calling_off_many_is_one_mail_each_and_may_be_undone_unsent(two, clock):
    first, second, one = two
    lead, *_rest = crew(first)
    number = trials.send(TEST, Wanted(Act.CALL_OFF, why="fire"), [first, second])
    assert (row(first).stage, row(second).stage) == ("called_off", "called_off")
    trial_undo.take_back(TEST, number)
    assert (row(first).stage, row(second).stage) == ("open", "open")
    assert row(first).called_off_why is None
    assert states(first)[lead] == "placed"
    assert [a.state for a in read(lambda s: s.leads.asks(first)) if a.person == lead] == ["agreed"]
    assert all(kind != "call_off" for _person, kind in waiting())
    assert (one, "invitation") in waiting()
    with pytest.raises(RuleBroken):
        trial_undo.take_back(TEST, number)


def test_a_move_is_undone_with_every_spot_until_somebody_answers(two, clock):
    first, second, one = two
    number = trials.send(TEST, MOVE, [first, second])
    trial_undo.take_back(TEST, number)
    assert (row(first).day, states(first)) == (EVENT_DAY, {one: "placed"})
    number = trials.send(TEST, MOVE, [first, second])
    spots.accept_offer(as_person(one), first, one)
    assert [r.code for r in trial_undo.sent(TEST, number).bars] == ["trial_acted_on"]
    with pytest.raises(RuleBroken):
        trial_undo.take_back(TEST, number)
    assert row(first).day == EVENT_DAY + timedelta(days=2)


def test_once_a_mail_has_left_nothing_is_undone(two, clock):
    first, second, _one = two
    number = trials.send(TEST, MOVE, [first, second])
    sent(clock)
    with pytest.raises(RuleBroken) as caught:
        trial_undo.take_back(TEST, number)
    assert {r.code for r in caught.value.reasons} == {"trial_mail_has_left"}


def test_swapping_the_lead_leaves_out_events_where_the_new_one_is_not_cleared(two):
    first, second, _one = two
    [old] = add_people(1, Role.LEAD, name="Ana Ferrer")
    [new] = add_people(1, Role.LEAD, name="Mina Sato")
    for event in (first, second):
        seat(event, old, Role.LEAD)
    lapse(new, Role.LEAD, EVENT_DAY + timedelta(days=10))
    wanted = Wanted(Act.SWAP_LEAD, lead=new, why="ill")
    found = trials.try_out(TEST, wanted, [first, second])
    assert [line.passes for line in found.lines] == [True, False]
    assert "lead_not_cleared_then" in [r.code for r in found.lines[1].reasons]
    with pytest.raises(RuleBroken):
        trials.send(TEST, wanted, [first, second])
    assert states(first)[old] == "placed"
    number = trials.send(TEST, wanted, list(found.to_send))
    assert (states(first)[old], states(first)[new]) == ("withdrawn", "placed")
    trial_undo.take_back(TEST, number)
    assert (states(first)[old], states(first)[new]) == ("placed", "withdrawn")
    agreed = [a.person for a in read(lambda s: s.leads.asks(first)) if a.state == "agreed"]
    assert agreed == [old]


def test_who_is_moved_onto_another_of_their_days_cannot_say_yes(ground):
    first, next_day = [open_event(ground, day=EVENT_DAY + timedelta(days=n)) for n in (0, 1)]
    [one] = add_people(1)
    for event in (first, next_day):
        spots.sign_up(as_person(one), event, one)
    trials.send(TEST, Wanted(Act.MOVE, 1, why="rain"), [first])
    with pytest.raises(RuleBroken) as caught:
        spots.accept_offer(as_person(one), first, one)
    assert [r.code for r in caught.value.reasons] == ["overlaps_other_event"]
    assert states(first) == {one: "offered"}


def test_a_trial_shows_who_would_be_on_two_events_at_once(ground):
    first, next_day = [open_event(ground, day=EVENT_DAY + timedelta(days=n)) for n in (0, 1)]
    [one] = add_people(1)
    for event in (first, next_day):
        spots.sign_up(as_person(one), event, one)
    found = trials.try_out(TEST, Wanted(Act.MOVE, 1, why="rain"), [first])
    assert "member_elsewhere" in [f.reason.code for f in found.lines[0].stops]
    both_moved = trials.try_out(TEST, Wanted(Act.MOVE, 1, why="rain"), [first, next_day])
    for line in both_moved.lines:
        assert "member_elsewhere" not in [f.reason.code for f in line.stops]


def test_a_closure_offers_the_events_it_touches_of_ones_own_region(ground, two):
    first, _second, one = two
    start = datetime(2027, 6, 19, 7, tzinfo=UTC)
    number = closures.add_closure(
        TEST, NewClosure("fire", start, start + timedelta(days=5), site=ground.site)
    )
    assert [line.id for line in trials.touched(TEST, number).lines] == [first]
    assert trials.touched(as_person(one), number).lines == ()
    with pytest.raises(NotAllowed):
        trials.try_out(as_person(one), MOVE, [first])
    events.call_off(TEST, first, "fire")
    assert trials.touched(TEST, number).lines == ()
