"""Pages of the coordinator: each shows what is there, refuses what the rules refuse."""

from __future__ import annotations

from datetime import date

import pytest
from flask import Flask

from roster.domain.events import DateState
from roster.services import events
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.crews import add_people, open_event, states
from tests.support.land import ACTOR, Land, land, new_event
from tests.support.leads import a_lead
from tests.support.staff import coordinator, regional


@pytest.fixture
def ground(app: Flask) -> Land:
    return land()


@pytest.fixture
def desk(app: Flask, ground: Land) -> Browser:
    return Browser(app, coordinator("Marit Solberg"))


def stage(number: int) -> str:
    return read(lambda store: store.events.row(number)).stage


FORM = {
    "kind": "collecting",
    "date_state": "fixed",
    "day": "2027-06-20",
    "start_time": "07:00",
    "end_time": "12:30",
    "capacity": "8",
}


def test_an_event_is_made_by_hand_and_opened(desk: Browser, ground: Land) -> None:
    assert "Marrow Butte" in desk.text("/events/new")
    assert "Arrowleaf balsamroot" in desk.text(f"/events/new?site={ground.site}")
    sent = desk.post(f"/events/new?site={ground.site}", **FORM, populations=str(ground.population))
    assert sent.status_code == 303
    page = desk.text(sent.location)
    assert "Arrowleaf balsamroot at Marrow Butte" in page
    assert "is a draft" in page
    number = int(sent.location.rsplit("/", 1)[1])
    assert desk.post(f"/events/{number}/open").status_code == 303
    assert stage(number) == "open"


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"day": "2027-13-40"}, "day"),
        ({"capacity": "none"}, "capacity"),
        ({"end_time": "06:00"}, "end_time"),
    ],
)
def test_a_bad_field_is_told_at_the_field_and_nothing_is_made(
    desk: Browser, ground: Land, changed: dict[str, str], told: str
) -> None:
    values = FORM | changed
    sent = desk.post(
        f"/events/new?site={ground.site}", **values, populations=str(ground.population)
    )
    assert sent.status_code == 422
    page = sent.get_data(as_text=True)
    assert f'href="#{told}"' in page
    assert f'id="{told}-wrong"' in page
    assert read(lambda store: store.events.highest()) == 0


def test_an_event_outside_its_permission_is_refused_with_rule_and_remedy(
    desk: Browser, ground: Land
) -> None:
    number = events.create_event(ACTOR, new_event(ground, date(2027, 8, 1)))
    refused = desk.post(f"/events/{number}/open")
    assert refused.status_code == 409
    page = refused.get_data(as_text=True)
    assert "Sat 31 Jul 2027" in page
    assert "choose a day within it" in page
    assert stage(number) == "draft"


def test_calling_off_asks_why_and_shows_it(desk: Browser, ground: Land) -> None:
    number = events.create_event(ACTOR, new_event(ground))
    assert desk.post(f"/events/{number}/call-off", why="").status_code == 422
    assert desk.post(f"/events/{number}/call-off", why="smoke").status_code == 303
    assert "smoke" in desk.text(f"/events/{number}")


def test_a_change_is_kept_and_a_bad_one_told_at_its_field(desk: Browser, ground: Land) -> None:
    number = events.create_event(ACTOR, new_event(ground))
    form = {
        "day": "2027-06-21", "last_day": "2027-06-21", "start_time": "07:00",
        "end_time": "12:00", "capacity": "6", "minimum_crew": "3", "vehicles": "2",
        "meeting": "Lower gate", "why": "rain",
    }  # fmt: skip
    assert desk.post(f"/events/{number}/change", **form).status_code == 303
    row = read(lambda store: store.events.row(number))
    assert (row.day, row.capacity, row.meeting) == (date(2027, 6, 21), 6, "Lower gate")
    bad = desk.post(f"/events/{number}/change", **(form | {"end_time": "06:00"}))
    assert bad.status_code == 422
    assert 'href="#end_time"' in bad.get_data(as_text=True)


def test_to_decide_shows_each_event_with_its_one_next_step(desk: Browser, ground: Land) -> None:
    number = events.create_event(ACTOR, new_event(ground))
    page = desk.text("/decide")
    assert f"Event {number} is still a draft" in page
    assert "Open it for sign-up" in page
    events.open_event(ACTOR, number)
    page = desk.text("/decide")
    assert "has no lead" in page


def test_a_population_ready_soon_without_an_event_stands_on_to_decide(
    desk: Browser, ground: Land
) -> None:
    assert "no event is planned" in desk.text("/decide")
    events.create_event(ACTOR, new_event(ground))
    assert "no event is planned" not in desk.text("/decide")


def test_an_empty_programme_says_how_to_begin(app: Flask) -> None:
    desk = Browser(app, coordinator("Marit Solberg"))
    for path in ("/decide", "/events", "/plants", "/places", "/events/new", "/plants/species"):
        assert desk.get(path).status_code == 200, path


def test_every_page_of_places_and_plants_is_there(desk: Browser, ground: Land) -> None:
    for path in (
        "/places",
        f"/places/{ground.site}",
        f"/places/{ground.site}/permission",
        f"/places/{ground.site}/closure",
        "/places/new",
        "/plants",
        "/plants?q=balsam",
        f"/plants/{ground.site}/{ground.population}",
        f"/plants/new?site={ground.site}",
        "/plants/species",
    ):
        assert "Seed Muster" in desk.text(path), path


def test_a_site_check_is_recorded_by_hand(desk: Browser, ground: Land) -> None:
    path = f"/plants/{ground.site}/{ground.population}"
    seen = {"on": "2027-06-15", "immature": "50", "ripe": "50", "shed": "0"}
    assert desk.post(f"{path}/check", **seen).status_code == 303
    assert "50 % ripe" in desk.text(path).replace("\u00a0", " ")
    wrong = desk.post(f"{path}/check", **(seen | {"ripe": "90"}))
    assert wrong.status_code == 422


def test_a_site_permission_and_closure_are_recorded_by_hand(desk: Browser, ground: Land) -> None:
    site = {
        "name": "Saddle Lake", "region": str(ground.region), "lat": "46.7", "lon": "-117.4",
        "elevation_ft": "2400", "time_zone": "America/Los_Angeles", "state": "Washington",
        "majority_age": "18", "meeting": "Gate", "minutes_to_signal": "10",
        "walk_out_minutes": "30",
    }  # fmt: skip
    sent = desk.post("/places/new", **site)
    assert sent.status_code == 303
    assert desk.post("/places/new", **site).status_code == 422
    permission = {
        "manager": "County parks", "from_on": "2027-06-01", "last_day": "2027-06-30",
        "taxa": str(ground.taxon),
    }  # fmt: skip
    assert desk.post(f"{sent.location}/permission", **permission).status_code == 303
    reversed_days = permission | {"last_day": "2027-05-30"}
    assert desk.post(f"{sent.location}/permission", **reversed_days).status_code == 422
    page = desk.text(sent.location)
    assert "County parks" in page
    closure = {"name": "fire", "from_day": "2027-06-16"}
    assert desk.post(f"{sent.location}/closure", **closure).status_code == 303
    assert "Closed: fire" in desk.text(sent.location)
    assert desk.post(f"{sent.location}/closure/1/lift").status_code == 303
    assert "Closed: fire" not in desk.text(sent.location)
    assert desk.post(f"{sent.location}/closure/1/lift").status_code == 404


def test_a_species_and_a_zone_are_recorded_by_hand(desk: Browser, ground: Land) -> None:
    species = {
        "code": "CAQU2", "name": "Camassia quamash", "common_name": "Common camas",
        "hold_days": "14", "ripe_day": "2027-07-01", "sd_days": "8", "lat": "46.5",
        "lon": "-117", "elevation_ft": "2500", "source": "invented",
    }  # fmt: skip
    assert desk.post("/plants/species", **species).status_code == 303
    zone = {"zone-label": "20 - 25 Deg. F. / < 2", "zone-kind": "provisional"}
    assert desk.post("/plants/zones", **zone).status_code == 422
    assert desk.post("/plants/zones", **zone, **{"zone-source": "invented"}).status_code == 303
    page = desk.text("/plants/species")
    assert "Camassia quamash" in page
    assert "20 - 25 Deg. F. / &lt; 2" in page


def test_lists_refuse_a_question_they_cannot_read(desk: Browser) -> None:
    for question in ("stage=asleep", "from=2027-13-01", "region=x", "sort=colour", "page=x"):
        assert desk.get(f"/events?{question}").status_code == 422, question


def test_a_regional_coordinator_sees_their_own_region_only(app: Flask, ground: Land) -> None:
    number = events.create_event(ACTOR, new_event(ground))
    own = Browser(app, regional("Imke Raske", ground.region))
    other = Browser(app, regional("Dale Whitcomb", ground.other_region))
    assert "Marrow Butte" in own.text("/events")
    assert "Marrow Butte" not in other.text("/events")
    for path in (f"/events/{number}", f"/places/{ground.site}"):
        assert own.get(path).status_code == 200
        assert other.get(path).status_code == 404
    assert other.get(f"/events/new?site={ground.site}").status_code == 403
    assert "Marrow Butte" not in other.text("/decide")


def test_a_lead_is_asked_says_yes_by_phone_and_is_replaced(
    app: Flask, desk: Browser, ground: Land
) -> None:
    number = open_event(ground)
    ana, wren = a_lead("Ana Ferrer"), a_lead("Wren Halvorsen")
    page = desk.text(f"/events/{number}")
    assert "Ask Ana Ferrer to lead" in page
    assert desk.post(f"/events/{number}/ask", person=str(ana), role="lead").status_code == 303
    assert "asked to answer by" in desk.text(f"/events/{number}")
    assert desk.post(f"/events/{number}/ask", person="V7", role="lead").status_code == 422
    assert desk.post(f"/events/{number}/ask", person=str(ana), role="duty").status_code == 422
    assert desk.post(f"/events/{number}/said-yes", person=str(ana), role="lead").status_code == 303
    assert states(number) == {ana: "placed"}
    refused = desk.post(f"/events/{number}/ask", person=str(wren), role="lead")
    assert refused.status_code == 409
    assert desk.post(f"/events/{number}/replace", role="lead", why="ill").status_code == 303
    assert states(number) == {ana: "withdrawn"}


def test_somebody_who_said_yes_by_phone_is_placed(desk: Browser, ground: Land) -> None:
    number = open_event(ground)
    [bea] = add_people(1, name="Bea Lindqvist")
    sent = desk.post(f"/events/{number}/place", who=f"V{bea}", role="crew_member")
    assert sent.status_code == 303
    assert states(number) == {bea: "placed"}
    assert "Bea Lindqvist" in desk.text(f"/events/{number}")
    assert desk.post(f"/events/{number}/place", who="V9999", role="crew_member").status_code == 404


def test_events_are_shown_by_month_and_week_with_the_filter_kept(
    desk: Browser, ground: Land
) -> None:
    number = open_event(ground)  # Sunday 20 June 2027
    events.create_event(ACTOR, new_event(ground, date(2027, 7, 5)))
    link = f'href="/events/{number}"'
    june = desk.text("/events?view=month&on=2027-06-03&kind=collecting")
    assert link in june
    assert "view=week&amp;on=2027-06-03&amp;kind=collecting" in june
    assert '<time datetime="2027-06-20">' in june
    assert link not in desk.text("/events?view=month&on=2027-06-03&kind=meeting")
    assert link in desk.text("/events?view=week&on=2027-06-14")
    assert link not in desk.text("/events?view=week&on=2027-06-21")
    assert desk.get("/events?view=year").status_code == 422


def test_a_window_stands_below_the_month_and_not_on_a_day(desk: Browser, ground: Land) -> None:
    start = new_event(ground).local_start
    window = new_event(
        ground,
        date_state=DateState.EXPECTED,
        local_start=start,
        local_end=start.replace(day=25, hour=12),
    )
    number = events.create_event(ACTOR, window)
    page = desk.text("/events?view=month&on=2027-06-20")
    assert page.index("Expected windows") < page.index(f'href="/events/{number}"')
    assert page.count(f'href="/events/{number}"') == 1
