"""The ways in of a development: one press each, for the four people of the demo."""

from __future__ import annotations

import pytest
from flask import Flask

from roster.services.enter import enter_codes
from tests.support.browser import Browser
from tests.support.world import World, build


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def test_there_is_a_way_in_for_each_of_four_people(app: Flask, world: World) -> None:
    found = {c.role: c.person for c in enter_codes()}
    people = world.people
    assert found == {
        "coordinator": people["coordinator"],
        "regional": people["regional"],
        "lead": people["lead"],
        "volunteer": people["crew"],
    }


def test_the_codes_are_the_same_at_every_asking(app: Flask, world: World) -> None:
    assert enter_codes() == enter_codes()


@pytest.mark.parametrize(
    ("role", "title"),
    [
        ("coordinator", "Enter as coordinator"),
        ("regional", "Enter as regional coordinator"),
        ("lead", "Enter as lead"),
        ("volunteer", "Enter as volunteer"),
    ],
)
def test_looking_changes_nothing_and_one_press_signs_in(
    app: Flask, world: World, role: str, title: str
) -> None:
    code = next(c for c in enter_codes() if c.role == role)
    browser = Browser(app)
    assert title in browser.text(code.path)
    assert browser.session is None
    assert browser.post(code.path).status_code == 303
    assert browser.session is not None
    assert code.name in browser.text("/sign-in")


@pytest.mark.parametrize(
    "code", ["lead-1-aaaaaaaaaaaa", "boss-1-aaaaaaaaaaaa", "lead-x-y", "lead", "-", "lead-²-a"]
)
def test_a_code_that_is_not_ours_leads_nowhere(app: Flask, world: World, code: str) -> None:
    assert Browser(app).get(f"/enter/{code}").status_code == 404


def test_the_code_of_one_role_is_no_code_of_another(app: Flask, world: World) -> None:
    code = next(c for c in enter_codes() if c.role == "volunteer")
    forged = code.code.replace("volunteer", "coordinator")
    assert Browser(app).get(f"/enter/{forged}").status_code == 404
