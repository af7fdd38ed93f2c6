"""Free days said on the page without scripts, by the person and by a coordinator."""

from roster.domain.availability import Away
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.crews import add_people
from tests.support.land import EVENT_DAY, land
from tests.support.staff import coordinator

VALUES = {"weekdays": ["5", "6"], "per_month": "3", "minutes_drive": "90"}


def said_of(person):
    return read(lambda store: store.availability.of(person))


def test_a_volunteer_says_it_and_takes_it_back(app):
    land()
    [one] = add_people(1)
    mine = Browser(app, one)
    assert "My free days" in mine.text("/days")
    day = EVENT_DAY.isoformat()
    assert mine.post("/my-free-days", **VALUES, from_on=day).status_code == 303
    assert said_of(one).away == (Away(EVENT_DAY, EVENT_DAY),)
    assert said_of(one).free_on == {5, 6}
    page = mine.text("/my-free-days")
    assert f'value="{day}/{day}"' in page
    assert "/my-free-days/undo" in page
    assert mine.post("/my-free-days/undo").status_code == 303
    assert said_of(one).away == ()


def test_days_in_the_wrong_order_are_said_at_the_field_and_nothing_is_kept(app):
    land()
    [one] = add_people(1)
    wrong = {"from_on": "2027-06-20", "last_day": "2027-06-19"}
    answer = Browser(app, one).post("/my-free-days", **VALUES | wrong)
    assert answer.status_code == 422
    assert "lies before the first" in answer.get_data(as_text=True)
    assert said_of(one).per_month == 4


def test_a_coordinator_records_it_from_a_call_and_the_journal_says_so(app):
    land()
    [one] = add_people(1)
    staff = Browser(app, coordinator("Marit Solberg"))
    address = f"/people/{one}/free-days"
    assert "Free days of" in staff.text(address)
    assert staff.post(address, **VALUES).status_code == 303
    assert said_of(one).minutes_drive == 90
    assert "free days recorded (Marit Solberg)" in staff.text(f"/people/{one}")
