"""The page behind a guardian's link: no account, no name of anybody else, one press to sign."""

from __future__ import annotations

import re

import pytest
from flask import Flask

from roster.domain.people import system
from roster.services import consent, links
from roster.store.transaction import read, write
from tests.services.test_consent import papers, signatures
from tests.support.browser import Browser
from tests.support.world import World, build


@pytest.fixture
def world(app: Flask) -> World:
    made = build()
    write(papers, actor=system("test"))
    return made


@pytest.fixture
def path(world: World) -> str:
    staff = read(lambda store: store.access.actor_of(world.people["regional"]))
    number = consent.ask(staff, world.people["minor"], world.guardian)
    return read(lambda store: links.path_of(store, number))


def answers(page: str) -> dict[str, object]:
    shown = re.findall(r'name="form" value="(\d+)"', page)
    return {"form": shown, "typed_name": "Guardian Test", "last_day": "2027-10-31",
            "fetched_by": "Aunt Test, Uncle Test"}  # fmt: skip


def test_a_guardian_reads_and_signs_without_an_account(app: Flask, path: str) -> None:
    browser = Browser(app)
    page = browser.text(path)
    assert "Text of consent." in page
    assert 'value="2027-10-31"' in page
    assert read(signatures) == []
    answer = browser.post(path, **answers(page))
    assert answer.status_code == 303
    assert "You have signed for Minor Test" in browser.text(path)
    assert [row.way for row in read(signatures)] == ["link", "link"]


def test_a_missing_name_is_said_at_its_field(app: Flask, path: str) -> None:
    browser = Browser(app)
    given = answers(browser.text(path)) | {"typed_name": ""}
    answer = browser.post(path, **given)
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "One answer needs mending" in page
    assert 'href="#typed_name"' in page
    assert 'value="Aunt Test, Uncle Test"' in page


def test_a_link_that_is_not_good_says_so_and_names_nobody(app: Flask, path: str) -> None:
    answer = Browser(app).get(path[:-2] + "zz")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "This link is no longer good." in page
    assert "Minor Test" not in page


def test_staff_ask_a_guardian_by_one_press(app: Flask, world: World) -> None:
    person, guardian = world.people["minor"], world.guardian
    browser = world.browser(app, "regional")
    answer = browser.post(f"/people/{person}/guardians/{guardian}/ask")
    assert answer.status_code == 303
    assert answer.location == f"/people/{person}"
