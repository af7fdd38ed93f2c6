"""Rights as they are lived: withdrawn at once, never borrowed from another object."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask import Flask

from roster.domain.people import system
from roster.services.clock import SetClock
from roster.store.models.people import staff_grant
from roster.store.registry import Store
from roster.store.transaction import write
from tests.support.world import World, build


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def end_grants(world: World, who: str) -> None:
    def body(store: Store) -> None:
        c = staff_grant.c
        mine = store.unit.run(staff_grant.select().where(c.person == world.people[who])).all()
        store.unit.end(staff_grant, [row.id for row in mine], "left")
        store.unit.note("end_grant", "person", world.people[who])

    write(body, actor=system("test"))


def test_a_role_taken_away_ends_at_the_next_request(app: Flask, world: World) -> None:
    browser = world.browser(app, "regional")
    assert browser.get("/events").status_code == 200
    end_grants(world, "regional")
    assert browser.get("/events").status_code == 403


def test_a_role_given_until_a_day_ends_with_it(app: Flask, world: World, clock: SetClock) -> None:
    def until_tomorrow(store: Store) -> None:
        number = world.people["volunteer"]
        day = clock.now().date()
        store.unit.insert(
            staff_grant, person=number, role="acting", region=None, acting=1, from_on=day,
            until_on=day + timedelta(1),
        )  # fmt: skip
        store.unit.note("grant", "person", number)

    write(until_tomorrow, actor=system("test"))
    assert world.browser(app, "volunteer").get("/events").status_code == 200
    clock.forward(timedelta(days=1))
    assert world.browser(app, "volunteer").get("/events").status_code == 403


def test_the_population_of_another_region_is_not_seen_through_ones_own_site(
    app: Flask, world: World
) -> None:
    browser = world.browser(app, "regional")
    own, foreign = world.sites["own"], world.populations["other"]
    assert browser.get(f"/plants/{own}/{world.populations['own']}").status_code == 200
    assert browser.get(f"/plants/{own}/{foreign}").status_code == 404
    answer = browser.post(f"/plants/{own}/{foreign}/check", on="2027-06-16", mature="20")
    assert answer.status_code in (404, 422)


def test_a_list_shows_a_regional_coordinator_only_the_own_region(app: Flask, world: World) -> None:
    page = world.browser(app, "regional").text("/events")
    assert "Event own" in page
    assert "Event other" not in page
    whole = world.browser(app, "coordinator").text("/events")
    assert "Event own" in whole
    assert "Event other" in whole


@pytest.mark.parametrize("address", ["/events?region={other}", "/plants?region={other}"])
def test_asking_for_a_foreign_region_shows_nothing_of_it(
    app: Flask, world: World, address: str
) -> None:
    path = address.format(other=world.regions["other"])
    answer = world.browser(app, "regional").get(path)
    page = answer.get_data(as_text=True)
    assert answer.status_code in (200, 403, 404)
    assert "Event other" not in page
    assert "Site other" not in page
