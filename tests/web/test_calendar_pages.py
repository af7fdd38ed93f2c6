"""Feed addresses, My calendar, Seen it and the development's list of messages, over HTTP."""

from __future__ import annotations

import gzip
import logging
from datetime import timedelta

import pytest
from flask import Flask

from roster.ical.check import check_feed
from roster.mail.memory import MemorySender
from roster.services import messages
from roster.services.clock import SetClock
from tests.ical.samples import by_icalendar
from tests.support.browser import Browser
from tests.support.crew_mail import call_off, change_person, move, published, put, queued, send_all
from tests.support.world import World


@pytest.fixture
def world(app: Flask) -> World:
    return published()


def path_of(app: Flask, world: World, who: str = "crew") -> str:
    """The path of a person's feed, as the page shows it."""
    page = world.browser(app, who).text("/calendar")
    url = page.split('id="feed-address">')[1].split("<")[0]
    return "/feeds/" + url.rsplit("/", 1)[1]


def test_the_page_shows_an_address_that_gives_the_calendar(app: Flask, world: World) -> None:
    answer = Browser(app).get(path_of(app, world))
    assert answer.status_code == 200
    assert answer.content_type == "text/calendar; charset=utf-8"
    assert check_feed(answer.data) == []
    assert len(by_icalendar(answer.data)) == 1


def test_a_feed_is_private_unindexed_and_sets_no_cookie(app: Flask, world: World) -> None:
    headers = Browser(app).get(path_of(app, world)).headers
    assert headers["Cache-Control"] == "private, no-cache"
    assert headers["X-Robots-Tag"] == "noindex"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "Set-Cookie" not in headers
    assert "Access-Control-Allow-Origin" not in headers


def test_what_has_not_changed_is_not_sent_again(app: Flask, world: World, clock: SetClock) -> None:
    clock.forward(timedelta(minutes=1))
    path, client = path_of(app, world), Browser(app)
    first = client.get(path)
    for headers in (
        {"If-None-Match": first.headers["ETag"]},
        {"If-None-Match": 'W/"x", ' + first.headers["ETag"]},
        {"If-Modified-Since": first.headers["Last-Modified"]},
    ):
        again = client.get(path, headers=headers)
        assert again.status_code == 304, headers
        assert again.data == b""
        assert again.headers["ETag"] == first.headers["ETag"]
    packed = client.get(path, headers={"Accept-Encoding": "gzip"})
    assert gzip.decompress(packed.data) == first.data
    both = {"Accept-Encoding": "gzip", "If-None-Match": packed.headers["ETag"]}
    assert client.get(path, headers=both).status_code == 304


def test_a_change_is_sent_to_who_asks_by_tag_and_to_who_asks_by_date(
    app: Flask, world: World, clock: SetClock
) -> None:
    clock.forward(timedelta(minutes=1))
    path, client = path_of(app, world), Browser(app)
    first = client.get(path)
    clock.forward(timedelta(seconds=1))
    move(world, timedelta(days=1))
    for name, tag in (("If-None-Match", "ETag"), ("If-Modified-Since", "Last-Modified")):
        again = client.get(path, headers={name: first.headers[tag]})
        assert again.status_code == 200
        assert again.data != first.data


def test_a_tag_outweighs_a_date(app: Flask, world: World, clock: SetClock) -> None:
    clock.forward(timedelta(minutes=1))
    path, client = path_of(app, world), Browser(app)
    first = client.get(path)
    headers = {"If-None-Match": '"other"', "If-Modified-Since": first.headers["Last-Modified"]}
    assert client.get(path, headers=headers).status_code == 200


def test_a_date_from_the_very_second_of_a_change_is_not_trusted(
    app: Flask, world: World, clock: SetClock
) -> None:
    path, client = path_of(app, world), Browser(app)
    first = client.get(path)  # the event was published in this second
    assert "Last-Modified" not in first.headers
    clock.forward(timedelta(seconds=2))
    assert "Last-Modified" in client.get(path).headers


def test_wrong_old_and_dead_addresses_answer_alike(app: Flask, world: World) -> None:
    old = path_of(app, world)
    bea = world.browser(app, "crew")
    assert bea.post("/calendar/address").status_code == 303
    new = path_of(app, world)
    assert new != old
    assert Browser(app).get(new).status_code == 200
    change_person(world.people["lead"], state="left")
    wrong = "/feeds/1-" + "a" * 52 + ".ics"
    answers = [Browser(app).get(path) for path in (old, wrong, "/feeds/x.ics")]
    assert {a.status_code for a in answers} == {404}
    assert len({a.data for a in answers}) == 1


def test_a_calendar_can_be_stopped_and_made_again(app: Flask, world: World) -> None:
    path, bea = path_of(app, world), world.browser(app, "crew")
    bea.post("/calendar/stop")
    assert Browser(app).get(path).status_code == 404
    assert "You have no address at present." in bea.text("/calendar")
    bea.post("/calendar/address")
    assert Browser(app).get(path_of(app, world)).status_code == 200


def test_sending_the_form_twice_makes_one_new_address(app: Flask, world: World) -> None:
    bea = world.browser(app, "crew")
    same = {"op": "6e1f5f4a-1f55-4b58-9f0e-0d3d5d0a8a11"}
    bea.post("/calendar/address", **same)
    first = path_of(app, world)
    bea.post("/calendar/address", **same)
    assert path_of(app, world) == first


def test_guessing_is_counted_and_reading_is_not(app: Flask, world: World) -> None:
    path, client = path_of(app, world), Browser(app)
    answers = [client.get(f"/feeds/{n}-{'a' * 52}.ics").status_code for n in range(61)]
    assert answers.count(404) == 60
    assert answers[-1] == 429
    assert client.get(path).status_code == 200


def test_a_coordinator_makes_the_calendar_of_her_region_and_no_other(
    app: Flask, world: World
) -> None:
    regional = world.browser(app, "regional")
    assert regional.post(f"/calendar/region/{world.regions['own']}").status_code == 303
    _, _, rest = regional.text("/calendar").partition("for coordinators only")
    url = next(
        word for word in rest.replace("<", " ").replace(">", " ").split() if "/feeds/" in word
    )
    content = Browser(app).get("/feeds/" + url.rsplit("/", 1)[1]).data
    assert len(by_icalendar(content)) == 1
    assert regional.post(f"/calendar/region/{world.regions['other']}").status_code == 404


def test_no_secret_of_a_feed_stands_in_a_log(
    app: Flask, world: World, caplog: pytest.LogCaptureFixture
) -> None:
    path = path_of(app, world)
    secret = path.partition("-")[2].removesuffix(".ics")
    with caplog.at_level(logging.DEBUG):
        Browser(app).get(path)
        Browser(app).get("/feeds/9-" + "b" * 52 + ".ics")
    everything = " ".join(f"{r.getMessage()} {r.__dict__}" for r in caplog.records)
    assert secret not in everything
    assert "b" * 52 not in everything


def test_seen_it_is_recorded_by_the_press_and_not_by_opening(app: Flask) -> None:
    world = published(1)
    call_off(world, "Smoke.")
    row = next(r for r in queued() if r.person == world.people["crew"])
    path, client = f"/seen/{messages.seen_token(row.id)}", Browser(app)
    assert "have you read the message?" in client.text(path)
    from tests.support.crew_mail import person_actor

    lead = person_actor(world.people["lead"])

    def seen() -> int:
        return sum(t.seen_at is not None for t in messages.told(lead, world.events["own"]))

    assert seen() == 0
    assert client.post(path).status_code == 303
    assert seen() == 1
    assert client.get("/seen/1-" + "a" * 52).status_code == 404


def test_a_seen_it_link_ends(app: Flask, clock: SetClock) -> None:
    world = published(1)
    call_off(world, "Smoke.")
    path = f"/seen/{messages.seen_token(queued()[0].id)}"
    clock.forward(timedelta(days=14))
    assert Browser(app).get(path).status_code == 200
    clock.forward(timedelta(seconds=1))
    assert Browser(app).get(path).status_code == 404


def test_development_lists_messages_and_decodes_the_invitation(
    app: Flask, world: World, clock: SetClock
) -> None:
    put(world, "volunteer", "placed")
    client = Browser(app)
    page = client.text("/outbox")
    assert "Volunteer Test" in page
    assert "waiting" in page
    number = queued()[0].id
    mail = client.text(f"/outbox/{number}")
    assert "METHOD:REQUEST" in mail
    assert "you have a spot" in mail
    assert "<h1" in client.text(f"/outbox/{number}/html")
    clock.forward(timedelta(minutes=11))
    send_all(MemorySender())
    assert "sent" in client.text(f"/outbox/{number}")
    assert client.get("/outbox/99999").status_code == 404
