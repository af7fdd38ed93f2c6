"""Ticking days and fixing one through the pages."""

import re
from datetime import date, datetime, time, timedelta

from roster.domain.events import DateState
from roster.domain.people import Role
from tests.support.browser import Browser
from tests.support.crews import add_people, open_event, states
from tests.support.land import EVENT_DAY, land
from tests.support.staff import regional

LAST = EVENT_DAY + timedelta(days=3)


def test_a_window_goes_from_ticked_days_over_the_board_to_a_fixed_day(app):
    ground = land()
    end = datetime.combine(LAST, time(12, 30))
    event = open_event(ground, date_state=DateState.EXPECTED, local_end=end)
    one, two = add_people(2)
    add_people(1, Role.LEAD, name="Ana Ferrer")
    staff = Browser(app, regional("Rhea Staff", ground.region))
    mine = Browser(app, one)
    assert f"/days/{event}/which" in mine.text("/help-wanted")
    assert mine.text(f"/days/{event}/which").count('name="days"') == 4
    answer = mine.post(f"/days/{event}/which", days=[LAST.isoformat(), EVENT_DAY.isoformat()])
    assert answer.status_code == 303
    assert mine.text(f"/days/{event}/which").count("checked") == 2
    assert f"/days/{event}/which" in mine.text("/days")
    told = staff.post(f"/events/{event}/board/tick", who=f"V{two}", days=[LAST.isoformat()])
    assert told.status_code == 303
    board = staff.text(f"/events/{event}/board")
    assert "Ana Ferrer" in board
    assert len(re.findall(r"<td[^>]*>2 people", board)) == 1
    fixed = staff.post(
        f"/events/{event}/board/fix", day=LAST.isoformat(), start_time="07:00", end_time="12:00"
    )
    assert fixed.status_code == 303
    assert states(event) == {one: "placed", two: "placed"}


def test_a_day_that_is_none_is_refused_with_a_sentence(app):
    event = open_event(date_state=DateState.EXPECTED)
    [one] = add_people(1)
    mine = Browser(app, one)
    outside = (date(2027, 1, 1)).isoformat()
    for said in ("2027-13-45", outside):
        answer = mine.post(f"/days/{event}/which", days=[said])
        assert 400 <= answer.status_code < 500
    assert states(event) == {}
