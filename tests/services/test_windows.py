"""Expected windows: days ticked, the board, and fixing the day, on both databases."""

from datetime import date, datetime, time, timedelta

import pytest

from roster.domain.errors import BadInput, NotAllowed, RuleBroken
from roster.domain.events import DateState
from roster.domain.people import Role
from roster.services import spots, windows
from roster.services.event_changes import fix_day
from roster.store.transaction import read
from tests.support.crews import TEST, add_people, as_person, lapse, open_event, states, taken
from tests.support.land import EVENT_DAY

pytestmark = pytest.mark.usefixtures("both")
LAST = EVENT_DAY + timedelta(days=8)


def window_event(**changed):
    end = datetime.combine(LAST, time(12, 30))
    return open_event(date_state=DateState.EXPECTED, local_end=end, **changed)


def mails(person):
    rows = read(lambda store: store.outbox.page(None, 100, ()))
    return [(r.kind, r.state) for r in rows if r.person == person]


def fix(event, day):
    start = datetime.combine(day, time(7))
    fix_day(TEST, event, start, start + timedelta(hours=5))


def test_ticking_a_day_asks_to_come_and_no_day_takes_it_back():
    event = window_event()
    [one] = add_people(1)
    windows.tick(as_person(one), event, one, [LAST, EVENT_DAY])
    assert states(event) == {one: "asked"}
    assert windows.my_window(as_person(one), event).ticked == {EVENT_DAY, LAST}
    windows.tick(as_person(one), event, one, [])
    assert states(event) == {one: "withdrawn"}
    with pytest.raises(BadInput):
        windows.tick(as_person(one), event, one, [LAST + timedelta(days=1)])


def test_nobody_ticks_for_another_but_staff():
    event = window_event()
    one, two = add_people(2)
    with pytest.raises(NotAllowed):
        windows.tick(as_person(two), event, one, [LAST])
    assert windows.tick(TEST, event, one, [LAST]) == [LAST.isoformat()]


def test_whoever_is_not_cleared_on_the_first_day_ticked_may_not_tick():
    event = window_event()
    [one] = add_people(1)
    lapse(one, Role.CREW_MEMBER, EVENT_DAY + timedelta(days=1))
    windows.tick(as_person(one), event, one, [EVENT_DAY])
    windows.tick(as_person(one), event, one, [])
    with pytest.raises(RuleBroken):
        windows.tick(as_person(one), event, one, [EVENT_DAY + timedelta(days=1)])


def test_the_board_says_for_each_day_chance_people_lead_and_adults():
    event = window_event()
    people = add_people(3)
    [lead] = add_people(1, Role.LEAD, name="Ana Ferrer")
    for person in people:
        windows.tick(as_person(person), event, person, [EVENT_DAY, LAST])
    lapse(lead, Role.LEAD, LAST)
    found = windows.board(TEST, event)
    assert [d.day for d in found.days] == [EVENT_DAY + timedelta(days=n) for n in range(9)]
    first, last = found.days[0], found.days[-1]
    assert (first.adults, len(first.could), first.leads) == (3, 3, ("Ana Ferrer",))
    assert first.chance is not None
    assert 0 < first.chance <= 1
    assert (last.adults, last.lead_count) == (3, 0)
    assert found.days[1].could == ()
    assert found.best is not None
    assert found.best.day == EVENT_DAY


def test_fixing_places_who_ticked_the_day_once_told_and_tells_the_others():
    event = window_event(capacity=4)
    one, two, three, other = add_people(4)
    for person in (one, two, three):
        windows.tick(as_person(person), event, person, [date(2027, 6, 25), LAST])
    windows.tick(as_person(other), event, other, [EVENT_DAY])
    fix(event, LAST)
    # four spots, of which lead and data collector are kept one each
    assert states(event) == {one: "placed", two: "placed", three: "waiting", other: "asked"}
    assert taken(event) == 2
    assert mails(one) == [("invitation", "waiting")]
    assert mails(three) == [("waiting", "waiting")]
    assert mails(other) == [("update", "waiting")]
    with pytest.raises(RuleBroken):
        windows.board(TEST, event)
    with pytest.raises(RuleBroken):
        windows.tick(as_person(other), event, other, [LAST])
    assert spots.sign_up(as_person(other), event, other)["state"] == "waiting"
