"""Emergency contacts open for lead and duty person only around the day of the event."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from flask import Flask

from roster.domain.errors import NotAllowed, RuleBroken
from roster.domain.people import Actor
from roster.services.clock import SetClock
from roster.services.emergency import open_contacts
from roster.store.transaction import read
from tests.support.world import World, build

# the event: Sat 19 Jun 2027, 14:00 to 19:00 UTC


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def person(world: World, who: str) -> Actor:
    found = read(lambda store: store.access.actor_of(world.people[who]))
    assert found
    return found


@pytest.mark.parametrize("who", ["lead", "duty"])
@pytest.mark.parametrize(
    ("at", "opens"),
    [
        (datetime(2027, 6, 17, 13, 59, tzinfo=UTC), False),
        (datetime(2027, 6, 17, 14, 0, tzinfo=UTC), True),
        (datetime(2027, 6, 20, 19, 0, tzinfo=UTC), True),
        (datetime(2027, 6, 20, 19, 1, tzinfo=UTC), False),
    ],
    ids=["48 h and a minute before", "48 h before", "24 h after", "24 h and a minute after"],
)
def test_lead_and_duty_person_open_contacts_around_the_day(
    world: World, clock: SetClock, who: str, at: datetime, opens: bool
) -> None:
    clock.at = at
    actor = person(world, who)
    if opens:
        assert open_contacts(actor, world.events["own"], "Fell").missing
    else:
        with pytest.raises(RuleBroken, match="contacts_not_now"):
            open_contacts(actor, world.events["own"], "Fell")


def test_staff_open_them_at_any_time(world: World) -> None:
    assert open_contacts(person(world, "regional"), world.events["own"], "Fell").missing


def test_nobody_else_opens_them(world: World, clock: SetClock) -> None:
    clock.at = datetime(2027, 6, 19, 15, 0, tzinfo=UTC)
    for who in ("crew", "other_lead", "other_regional", "volunteer"):
        with pytest.raises(NotAllowed):
            open_contacts(person(world, who), world.events["own"], "Fell")
