"""Who acts: grants hold from a day to the day before another, and say for which region."""

from __future__ import annotations

from datetime import date

import pytest

from roster.domain.people import ANONYMOUS, Actor, ActorKind, Grant, StaffRole, system

FIRST, UNTIL = date(2027, 4, 1), date(2027, 11, 1)


def person(*grants: Grant) -> Actor:
    return Actor(ActorKind.PERSON, "Marit Solberg", 1, grants)


@pytest.mark.parametrize(
    ("day", "holds"),
    [
        (date(2027, 3, 31), False),
        (FIRST, True),
        (date(2027, 10, 31), True),
        (UNTIL, False),
    ],
    ids=["day before", "first day", "last day", "day after"],
)
def test_a_grant_holds_from_its_first_to_its_last_day(day: date, holds: bool) -> None:
    assert Grant(StaffRole.REGIONAL, 3, FIRST, UNTIL).holds_on(day) is holds


def test_an_open_grant_goes_on() -> None:
    assert Grant(StaffRole.REGIONAL, 3, FIRST, None).holds_on(date(2060, 1, 1))


@pytest.mark.parametrize(
    ("grant", "coordinator", "regions"),
    [
        (Grant(StaffRole.COORDINATOR, None, FIRST, None), True, set()),
        (Grant(StaffRole.ACTING, None, FIRST, None), True, set()),
        (Grant(StaffRole.REGIONAL, 3, FIRST, None), False, {3}),
        (Grant(StaffRole.ACTING, 3, FIRST, None), False, {3}),
        (Grant(StaffRole.DUTY, 3, FIRST, None), False, set()),
    ],
    ids=["coordinator", "acting for all", "regional", "acting for a region", "duty person"],
)
def test_what_a_grant_makes_of_an_actor(grant: Grant, coordinator: bool, regions: set[int]) -> None:
    actor = person(grant)
    assert actor.is_coordinator is coordinator
    assert actor.regions == regions
    assert actor.is_staff is (coordinator or bool(regions))


def test_the_command_line_is_coordinator_and_a_stranger_is_nothing() -> None:
    assert system("cli").is_coordinator
    assert not ANONYMOUS.is_staff
    assert not person().is_staff
