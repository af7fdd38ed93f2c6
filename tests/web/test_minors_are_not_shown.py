"""The name of a minor stands on no page that others than lead, duty person and staff see."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.support.crawl import pages
from tests.support.world import World, build

MINOR = "Minor Test"
MOST_PAGES = 60


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def pages_with(app: Flask, world: World, who: str) -> set[str]:
    """The pages that name the minor, among all that can be reached and those of the event."""
    browser = world.browser(app, who)
    event = world.events["own"]
    found = {path for path, answer, _p in pages(browser, MOST_PAGES) if MINOR in answer.text}
    for part in ("", "/crew", "/briefing", "/count", "/roster"):
        path = f"/field/{event}{part}"
        if MINOR in browser.get(path).text:
            found.add(path)
    return found


@pytest.mark.parametrize(
    "who",
    ["anonymous", "volunteer", "crew", "other_crew", "other_lead", "other_regional", "ex_staff"],
)
def test_nobody_else_reads_the_name_of_a_minor(app: Flask, world: World, who: str) -> None:
    assert pages_with(app, world, who) == set()


@pytest.mark.parametrize("who", ["lead", "duty", "regional", "coordinator"])
def test_who_answers_for_the_crew_reads_it(app: Flask, world: World, who: str) -> None:
    assert f"/field/{world.events['own']}/crew" in pages_with(app, world, who)


def test_the_minor_reads_the_own_name(app: Flask, world: World) -> None:
    assert MINOR in world.browser(app, "minor").text("/days")
