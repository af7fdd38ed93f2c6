"""One change to many events through the pages."""

import re
from datetime import timedelta

import pytest

from roster.services import spots
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.crews import act, add_people, as_person, open_event
from tests.support.land import EVENT_DAY, land
from tests.support.staff import regional


@pytest.fixture
def ground(app):
    return land()


@pytest.fixture
def desk(app, ground):
    return Browser(app, regional("Rhea Staff", ground.region))


@pytest.fixture
def pair(ground):
    events = [open_event(ground, day=EVENT_DAY + timedelta(days=n)) for n in (0, 10)]
    [one] = add_people(1)
    for event in events:
        spots.sign_up(as_person(one), event, one)
    return events


def day_of(event):
    return read(lambda s: s.events.row(event)).day


def stage_of(event):
    return read(lambda s: s.events.row(event)).stage


def test_events_ticked_in_the_list_are_tried_sent_and_taken_back(desk, pair):
    assert desk.text("/events").count('name="event"') == 2
    chosen = desk.text(f"/trial?event={pair[0]}&event={pair[1]}")
    assert chosen.count('name="event"') == 2
    asked = {"event": pair, "act": "move", "days": "2", "why": "heat"}
    tried = desk.post("/trial/try", **asked)
    assert tried.status_code == 200
    page = tried.get_data(as_text=True)
    assert "2 events would be changed" in page
    assert "1 people get one message each" in page
    assert day_of(pair[0]) == EVENT_DAY
    sent = desk.post("/trial/send", **asked)
    assert sent.status_code == 303
    assert day_of(pair[0]) == EVENT_DAY + timedelta(days=2)
    assert "Take it back" in desk.text(sent.location)
    assert desk.post(f"{sent.location}/undo").status_code == 303
    assert day_of(pair[0]) == EVENT_DAY
    assert "Take it back" not in desk.text(sent.location)


def test_a_closure_leads_to_the_trial_and_people_out_come_first(desk, ground, pair):
    out, later = pair
    act(lambda s: s.events.change(out, stage="under_way"))
    told = desk.post(f"/places/{ground.site}/closure", name="fire", from_day="2027-06-16")
    assert told.status_code == 303
    assert "/trial?closure=" in told.location
    page = desk.text(told.location)
    assert "People out now" in page
    assert re.findall(r'name="event" value="(\d+)"', page) == [str(later)]
    asked = {"event": pair, "act": "call_off", "why": "fire"}
    tried = desk.post("/trial/try", **asked).get_data(as_text=True)
    assert "left as it is" in tried
    assert desk.post("/trial/send", **asked).status_code == 409
    assert stage_of(later) == "open"
    assert desk.post("/trial/send", **(asked | {"event": [later]})).status_code == 303
    assert (stage_of(out), stage_of(later)) == ("under_way", "called_off")


def test_bad_values_of_a_trial_are_refused_with_a_sentence(desk, pair):
    good = {"event": pair, "act": "move", "days": "2", "why": "heat"}
    for wrong in ({"days": "x"}, {"days": "0"}, {"act": "burn"}, {"why": " "}, {"event": ["x"]}):
        assert desk.post("/trial/try", **(good | wrong)).status_code == 422, wrong
    assert desk.get("/trial/99").status_code == 404


def test_another_regions_events_are_neither_offered_nor_tried(app, ground, pair):
    other = Browser(app, regional("Odo Staff", ground.other_region))
    assert 'name="event"' not in other.text(f"/trial?event={pair[0]}")
    asked = {"event": pair, "act": "call_off", "why": "fire"}
    assert other.post("/trial/try", **asked).status_code in (403, 404)
    assert stage_of(pair[0]) == "open"
