"""Feeds: what they show, their addresses, and when they change."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from flask import Flask

from roster.domain.errors import NotFound, RuleBroken
from roster.domain.people import system
from roster.ical.check import check_feed
from roster.services import feed_addresses, feeds
from roster.services.clock import SetClock
from roster.store.base import db
from roster.store.transaction import read
from tests.ical.samples import by_icalendar, by_vobject
from tests.support.crew_mail import (
    UID,
    act,
    call_off,
    change_event,
    change_person,
    move,
    person_actor,
    published,
    put,
)
from tests.support.world import World

CLI = system("cli")


def token_of(world: World, who: str) -> str:
    """The secret of a person's feed address, as their page shows it."""
    url = feed_addresses.address_of(person_actor(world.people[who])).url
    assert url is not None
    return url.removesuffix(".ics").rsplit("/", 1)[1]


def found(world: World, who: str) -> feeds.Found:
    opened = feeds.find(token_of(world, who))
    assert opened is not None
    return opened


def bytes_of(world: World, who: str) -> bytes:
    return gzip.decompress(feeds.body(found(world, who)))


def test_a_crew_member_s_feed_has_her_event_and_two_parsers_agree(both: Flask) -> None:
    world = published()
    content = bytes_of(world, "crew")
    assert check_feed(content) == []
    (event,) = by_icalendar(content)
    assert by_vobject(content) == [event]
    assert event["uid"] == UID
    assert (event["start"], event["end"]) == ("2027-06-26T14:00Z", "2027-06-26T19:00Z")
    assert event["summary"] == "Arrowleaf balsamroot at Site own"
    assert event["location"] == "Gate, Site own"
    assert "You have a spot as crew member." in event["description"]


def test_the_lead_s_feed_says_so_and_points_to_the_field_sheet(both: Flask) -> None:
    world = published()
    content = bytes_of(world, "lead")
    assert b"SUMMARY:Lead: Arrowleaf balsamroot" in content
    assert f"URL:http://127.0.0.1:8000/field/{world.events['own']}".encode() in content


def test_a_feed_names_nobody_else(both: Flask) -> None:
    world = published()
    content = bytes_of(world, "crew")
    for word in (b"Lead Test", b"Duty Test", b"example.org", b"46.9"):
        assert word not in content


def test_two_askings_give_the_same_bytes_and_tag(both: Flask, clock: SetClock) -> None:
    world = published()
    first, content = found(world, "crew"), bytes_of(world, "crew")
    clock.forward(timedelta(minutes=1))
    assert found(world, "crew").etag == first.etag
    assert found(world, "crew").changed_at == first.changed_at
    assert bytes_of(world, "crew") == content


def test_kept_bytes_are_those_that_would_be_made(both: Flask) -> None:
    world = published()
    kept = bytes_of(world, "crew")
    table = db.metadata.tables["event_text"]
    act(lambda s: s.unit.run(table.delete()))
    assert bytes_of(world, "crew") == kept


def repeated_hour(world: World) -> None:
    """From 01:30 to 01:50 on the night when the clocks go back: told in UTC, without a zone."""
    move(world, timedelta(days=134, hours=-5.5))
    change_event(world, local_end=datetime(2027, 11, 7, 1, 50))  # noqa: DTZ001 - a local time
    move(world, timedelta(0), "changed")


@pytest.mark.parametrize(
    "bring",
    [
        lambda world: None,
        lambda world: call_off(world, "Smoke."),
        lambda world: change_event(world, date_state="expected") or move(world, timedelta(0)),
        lambda world: move(world, timedelta(days=134, hours=-5.5)),
        repeated_hour,
    ],
    ids=["fixed", "called off", "expected", "begins in a repeated hour", "wholly in one"],
)
def test_feeds_of_regions_strung_from_kept_bytes_are_those_written_anew(
    both: Flask, bring: Callable[[World], object]
) -> None:
    world = published()
    bring(world)
    change_setting = {"key": "public_feed", "value": "yes", "from_on": date(2027, 1, 1)}
    act(lambda s: s.unit.insert(db.metadata.tables["setting"], **change_setting))
    strung = feeds.region_bytes(CLI, "own"), feeds.public_bytes()
    assert all(check_feed(content) == [] for content in strung)
    act(lambda s: s.unit.run(db.metadata.tables["event_text"].delete()))
    assert (feeds.region_bytes(CLI, "own"), feeds.public_bytes()) == strung
    assert by_icalendar(strung[0])


def test_a_change_moves_tag_date_and_that_event_s_bytes(both: Flask, clock: SetClock) -> None:
    world = published()
    before, old = found(world, "crew"), bytes_of(world, "crew")
    clock.forward(timedelta(hours=1))
    move(world, timedelta(days=1))
    after, new = found(world, "crew"), bytes_of(world, "crew")
    assert before.etag != after.etag
    assert after.changed_at == before.changed_at + timedelta(hours=1)
    assert by_icalendar(new)[0]["start"] == "2027-06-27T14:00Z"
    assert b"SEQUENCE:1" in old
    assert b"SEQUENCE:2" in new


def test_an_expected_window_is_a_span_of_days_until_it_is_fixed(both: Flask) -> None:
    world = published()
    change_event(world, date_state="expected")
    move(world, timedelta(0), "changed")
    (event,) = by_icalendar(bytes_of(world, "crew"))
    assert (event["start"], event["end"]) == ("2027-06-26", "2027-06-27")
    assert b"STATUS:TENTATIVE" in bytes_of(world, "crew")


def test_a_called_off_event_stays_for_a_month_and_then_goes(both: Flask, clock: SetClock) -> None:
    world = published()
    call_off(world, "Smoke.")
    content = bytes_of(world, "crew")
    assert check_feed(content) == []
    assert b"STATUS:CANCELLED" in content
    assert b"SUMMARY:Called off: Arrowleaf" in content
    clock.forward(timedelta(days=30))
    assert b"STATUS:CANCELLED" in bytes_of(world, "crew")
    clock.forward(timedelta(days=40))
    assert by_icalendar(bytes_of(world, "crew")) == []


def test_a_spot_that_is_given_up_leaves_the_feed(both: Flask) -> None:
    world = published()
    put(world, "volunteer", "placed")
    assert len(by_icalendar(bytes_of(world, "volunteer"))) == 1
    put(world, "volunteer", "withdrawn")
    assert by_icalendar(bytes_of(world, "volunteer")) == []


def test_a_new_address_makes_the_old_one_like_any_wrong_one(both: Flask) -> None:
    world = published()
    old = token_of(world, "crew")
    feed_addresses.renew_address(person_actor(world.people["crew"]))
    assert feeds.find(old) is None
    assert feeds.find(token_of(world, "crew")) is not None
    feed_addresses.revoke_address(person_actor(world.people["crew"]))
    assert feed_addresses.address_of(person_actor(world.people["crew"])).url is None
    feed_addresses.renew_address(person_actor(world.people["crew"]))
    assert feeds.find(token_of(world, "crew")) is not None


@pytest.mark.parametrize("token", ["", "1", "1-x", "999999-" + "a" * 52, "1-" + "a" * 52])
def test_a_guess_opens_nothing(both: Flask, token: str) -> None:
    published()
    assert feeds.find(token) is None


def test_who_left_has_no_feed_any_more(both: Flask) -> None:
    world = published()
    token = token_of(world, "crew")
    change_person(world.people["crew"], state="left")
    assert feeds.find(token) is None


def test_no_secret_is_stored(both: Flask) -> None:
    from sqlalchemy import text

    world = published()
    secret = token_of(world, "crew").partition("-")[2]
    rows = read(lambda s: s.unit.run(text("SELECT * FROM feed")).all())
    assert secret not in str(rows)


def test_the_job_keeps_bytes_of_feeds_that_are_read_and_changed(both: Flask) -> None:
    world = published()
    assert feeds.refresh_kept() == 0  # nobody reads any yet
    opened = found(world, "crew")
    feeds.note_use(opened)
    content = feeds.body(opened)
    assert feeds.refresh_kept() == 1
    assert feeds.refresh_kept() == 0
    assert read(lambda s: s.feeds.body(opened.feed.id, opened.etag)) == content
    move(world, timedelta(days=1))
    assert feeds.refresh_kept() == 1


def test_use_is_noted_at_most_once_in_five_minutes(both: Flask, clock: SetClock) -> None:
    world = published()
    start = clock.now()
    for step in (timedelta(0), timedelta(minutes=5), timedelta(seconds=1)):
        clock.forward(step)
        feeds.note_use(found(world, "crew"))
    last = feed_addresses.address_of(person_actor(world.people["crew"])).last_used
    assert last == start + timedelta(minutes=5, seconds=1)
    clock.forward(timedelta(minutes=4))
    feeds.note_use(found(world, "crew"))
    assert feed_addresses.address_of(person_actor(world.people["crew"])).last_used == last


def test_a_region_s_feed_has_all_its_events_and_no_other(both: Flask) -> None:
    published()
    (event,) = by_icalendar(feeds.region_bytes(CLI, "own"))
    assert event["uid"] == UID
    with pytest.raises(NotFound):
        feeds.region_bytes(CLI, "nowhere")


def test_a_region_s_address_is_for_its_coordinator(both: Flask) -> None:
    world = published()
    url = feed_addresses.region_address(
        person_actor(world.people["regional"]), world.regions["own"]
    )
    opened = feeds.find(url.removesuffix(".ics").rsplit("/", 1)[1])
    assert opened is not None
    assert UID.encode() in gzip.decompress(feeds.body(opened))
    from roster.domain.errors import NotAllowed

    with pytest.raises(NotAllowed):
        feed_addresses.region_address(
            person_actor(world.people["other_regional"]), world.regions["own"]
        )


def test_the_public_feed_is_off_until_turned_on_and_hides_the_meeting_point(both: Flask) -> None:
    published()
    with pytest.raises(RuleBroken):
        feeds.public_bytes()
    from datetime import date

    act(lambda s: s.programme.set("public_feed", "yes", date(2027, 1, 1)))
    content = feeds.public_bytes()
    assert check_feed(content) == []
    assert b"Gate" not in content
    assert UID.encode() in content


def test_a_person_is_found_by_number_or_address(both: Flask) -> None:
    world = published()
    number = world.people["crew"]
    same = {feeds.person_bytes(CLI, who) for who in (f"V{number}", str(number), "CREW@example.org")}
    assert len(same) == 1
    with pytest.raises(NotFound):
        feeds.person_bytes(CLI, "V999999")
