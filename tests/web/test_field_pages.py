"""The field sheet on a phone without scripts: from who is here to the closed event."""

import re

import pytest

from roster.domain.people import Role
from roster.services import events, fieldsheet, spots
from roster.store.models.people import emergency_contact
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.crews import (
    TEST,
    act,
    add_people,
    as_person,
    crew,
    days_before,
    duty,
    lapse,
    meeting,
    open_event,
    states,
)
from tests.support.land import EVENT_DAY, land
from tests.support.staff import coordinator


@pytest.fixture
def day(app, clock):
    ground = land()
    event = open_event(ground, vehicles=2)
    people = crew(event, more=2)
    duty(ground, event)
    events.mark_ready(TEST, event)
    clock.forward(days_before(1 / 24))
    return Day(app, event, people)


class Day:
    def __init__(self, app, event, people):
        self.app, self.event, self.people = app, event, people
        self.lead = Browser(app, people[0])
        self.third = Browser(app, people[2])
        rows = read(lambda store: store.spots.of_event(event))
        self.spots = {s.person: s.id for s in rows}

    def post(self, path, **values):
        return self.lead.post(f"/field/{self.event}{path}", **values)

    def text(self, path=""):
        return self.lead.text(f"/field/{self.event}{path}")

    def stage(self):
        return read(lambda store: store.events.get(self.event)).stage

    def topics(self):
        return [key for key, _ in fieldsheet.sheet(TEST, self.event).spoken]

    def go(self):
        self.post("/crew", **{f"here-{s}": "yes" for s in self.spots.values()})
        self.post("/briefing", topic=self.topics(), spot=[str(s) for s in self.spots.values()])
        return self.post("/start")


def test_the_day_is_walked_through_by_plain_forms(day):
    assert "Ana Ferrer" in day.text("/crew")
    assert day.go().status_code == 303
    assert day.stage() == "under_way"
    assert "Still out" in day.text("/count")
    everybody = [str(s) for s in day.spots.values()]
    assert day.post("/count", way="in", spot=everybody).status_code == 303
    assert "Everybody is home" in day.text("/count")
    assert "Close the event" in day.text("/finish")
    assert day.post("/finish", outcome="collected").status_code == 303
    assert day.stage() == "done"
    assert "Nothing more can be changed" in day.text("/finish")


def test_going_without_a_briefing_is_refused_with_rule_and_remedy(day):
    day.post("/crew", **{f"here-{s}": "yes" for s in day.spots.values()})
    answer = day.post("/start")
    assert answer.status_code == 409
    told = answer.get_data(as_text=True)
    assert "Nobody has been briefed" in told
    assert "Speak the topics aloud" in told
    assert day.stage() == "ready"


def test_the_same_form_sent_twice_counts_once(day):
    day.go()
    one = str(day.spots[day.people[2]])
    same = {"way": "in", "spot": one, "op": "0d7b0a3e-1111-4222-8333-444455556666"}
    assert day.post("/count", **same).status_code == 303
    assert day.post("/count", **same).status_code == 303
    rows = read(lambda store: store.counts.all_of(day.event))
    assert [r.way for r in rows if r.spot == int(one)] == ["out", "in"]


def test_closing_with_somebody_out_names_them(day):
    day.go()
    answer = day.post("/finish", outcome="collected")
    assert answer.status_code == 409
    assert "still out" in answer.get_data(as_text=True)
    assert "Ana Ferrer" in answer.get_data(as_text=True)


def test_a_crew_member_hears_the_briefing_on_their_own_phone(day):
    day.post("/crew", **{f"here-{s}": "yes" for s in day.spots.values()})
    lead_alone = [str(day.spots[day.people[0]])]
    day.post("/briefing", topic=day.topics(), spot=lead_alone)
    assert "I heard the briefing" in day.third.text("/days")
    assert day.third.post(f"/days/{day.event}/briefed").status_code == 303
    heard = {p.spot.person: p.heard for p in fieldsheet.sheet(TEST, day.event).people}
    assert heard[day.people[2]].way == "own_phone"
    assert "I heard the briefing" not in day.third.text("/days")


def test_thunder_typed_in_stands_on_the_briefing_page(day):
    assert day.post("/reading", kind="thunder").status_code == 303
    assert "Thunder was heard at" in day.text("/briefing")
    assert day.post("/reading", kind="aqi", value="x").status_code == 422
    assert day.post("/reading", kind="rain", value="3").status_code == 422


def test_the_roster_is_for_lead_duty_and_staff_and_names_the_numbers_to_call(day):
    told = day.text("/roster")
    assert "Mina Sato" in told
    assert "Destroy after the event" in told
    assert day.third.get(f"/field/{day.event}/roster").status_code == 404
    assert day.third.get(f"/field/{day.event}").status_code == 404


def test_emergency_contacts_are_opened_with_a_reason_that_stays_on_record(day):
    third = day.people[2]
    act(
        lambda s: s.unit.insert(
            emergency_contact, person=third, name="Jo Weber", phone="509 555 0107", relation=""
        )
    )
    assert day.post("/contacts", reason="").status_code == 422
    told = day.post("/contacts", reason="Fell on the slope").get_data(as_text=True)
    assert "Jo Weber" in told
    assert "No contact on record" in told
    verbs = read(lambda s: [line.verb for line in s.journal.of("event", day.event)])
    assert "opened_contacts" in verbs
    assert day.third.post(f"/field/{day.event}/contacts", reason="x").status_code == 404


def test_every_page_of_the_day_says_in_each_language_what_it_says(day):
    for path in ("", "/crew", "/briefing", "/count", "/finish", "/roster"):
        assert not re.search(r"\{[a-z_]+\}|%\([a-z]+\)s", day.text(path)), path


def test_a_wrong_field_is_answered_clearly_and_changes_nothing(day):
    assert day.post("/crew", **{"here-x": "yes"}).status_code == 422
    assert day.post("/crew", **{f"here-{day.spots[day.people[0]]}": "maybe"}).status_code == 422
    assert day.post("/crew", **{"here-999999": "yes"}).status_code == 409
    assert day.post("/count", way="sideways", spot="1").status_code in (409, 422)
    assert all(p.is_here is None for p in fieldsheet.sheet(TEST, day.event).people)


def test_my_days_help_and_withdrawing_by_plain_forms(app):
    ground = land()
    event = open_event(ground)
    [one] = add_people(1)
    browser = Browser(app, one)
    told = browser.text("/help-wanted")
    assert "Arrowleaf balsamroot at Marrow Butte" in told
    assert "Sign up" in told
    answer = browser.post(f"/help-wanted/{event}/sign-up", role="crew_member")
    assert (answer.status_code, answer.location) == (303, "/days")
    told = browser.text("/days")
    assert "You have a spot on one event." in told
    assert "I cannot come" in told
    assert "You are on it already." in browser.text("/help-wanted")
    assert browser.post(f"/days/{event}/withdraw").status_code == 303
    assert "You have no spot" in browser.text("/days")
    assert browser.post(f"/days/{event}/withdraw").status_code == 409


def test_what_is_missing_stands_where_help_is_needed(app):
    ground = land()
    open_event(ground)
    [one] = add_people(1)
    lapse(one, Role.CREW_MEMBER, EVENT_DAY)
    told = Browser(app, one).text("/help-wanted")
    assert "You cannot sign up yet." in told
    assert "Missing" in told


def test_an_offer_is_taken_on_my_days(app, clock):
    event = meeting(1)
    first, second = add_people(2)
    for person in (first, second):
        spots.sign_up(as_person(person), event, person)
    clock.forward(days_before(2))
    spots.withdraw(as_person(first), event, first)
    browser = Browser(app, second)
    assert "Take the spot" in browser.text("/days")
    assert browser.post(f"/days/{event}/accept").status_code == 303
    assert "You have a spot on one event." in browser.text("/days")


def test_the_coordinator_takes_somebody_off_and_gives_the_spot_to_who_was_phoned(app, clock):
    event = meeting(1)
    first, second = add_people(2)
    for person in (first, second):
        spots.sign_up(as_person(person), event, person)
    clock.forward(days_before(0.5))
    staff = Browser(app, coordinator("Marit Solberg"))
    assert staff.post(f"/events/{event}/spots/take-off", person=str(first)).status_code == 303
    told = staff.text(f"/events/{event}")
    assert "phone in this order" in told
    assert "Give the spot" in told
    values = {"person": str(second), "role": "crew_member"}
    assert staff.post(f"/events/{event}/spots/give", **values).status_code == 303
    assert states(event) == {first: "withdrawn", second: "placed"}


COUNTED = {
    "plants_at_dispersal": "500",
    "fruits_per_plant": "10",
    "seeds_per_fruit": "20",
    "looked_at": "20",
    "good": "16",
}


def test_a_collection_is_counted_then_recorded_on_the_phone(day):
    day.go()
    assert "Most to take and collection record" in day.text()
    page = day.text("/collection")
    here = re.search(r'name="population" type="hidden" value="(\d+)"', page)
    assert here
    number = here.group(1)
    answer = day.post("/collection/count", population=number, **COUNTED)
    assert answer.status_code == 303
    page = day.text("/collection")
    assert "<b>1,000</b> of 5,000 heads or fruits." in page
    assert "one ripe fruit in five on each plant" in page
    values = {"population": number, "unit": "fruits", "bagging": "bulk", "nothing": ""}
    refused = day.post("/collection/taken", amount="1200", **values)
    assert refused.status_code == 422
    assert "1,200 fruits are more than the 1,000" in refused.get_data(as_text=True)
    assert day.post("/collection/taken", amount="900", **values).status_code == 303
    told = Browser(day.app, coordinator("Marit Solberg")).text(f"/events/{day.event}")
    assert "Palouse-1" in told
    assert "900 heads or fruits" in told


def test_a_wrong_count_is_said_at_its_field_and_nothing_is_kept(day):
    day.go()
    page = day.text("/collection")
    number = re.search(r'name="population" type="hidden" value="(\d+)"', page).group(1)
    answer = day.post("/collection/count", population=number, **COUNTED | {"good": "21"})
    assert answer.status_code == 422
    assert "21 good seeds of 20 looked at cannot be" in answer.get_data(as_text=True)
    assert read(lambda store: store.collections.of_event(day.event)) == []


def test_the_phone_list_is_ticked_by_plain_forms(day):
    assert "Phone list" in day.text()
    page = day.text("/phone-list")
    assert "4 people are still to be told" in page
    third = str(day.people[2])
    assert day.post("/phone-list", person=third, told="yes").status_code == 303
    assert "told by Ana Ferrer" in day.text("/phone-list")
    assert day.post("/phone-list", person=third, told="no").status_code == 303
    assert "told by Ana Ferrer" not in day.text("/phone-list")
    assert day.third.get(f"/field/{day.event}/phone-list").status_code == 404
