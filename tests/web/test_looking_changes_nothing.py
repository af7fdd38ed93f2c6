"""Looking at pages leaves the database as it was, but for the three notes that are allowed."""

from __future__ import annotations

import pytest
from flask import Flask

from roster.store.base import db
from roster.store.registry import Store
from roster.store.transaction import read
from tests.support.crawl import pages
from tests.support.world import World, build

NOTES = {"rate", "session"}  # counts of tries; last-used times (of feeds: see below)
MOST_PAGES = 60


@pytest.fixture
def world(both: Flask) -> World:
    return build()


def everything(store: Store) -> dict[str, list[tuple[str, ...]]]:
    found = {}
    for table in db.metadata.sorted_tables:
        if table.name not in NOTES:
            rows = store.unit.run(table.select()).all()
            found[table.name] = sorted(tuple(str(v) for v in row) for row in rows)
    return found


@pytest.mark.parametrize("who", ["volunteer", "lead", "coordinator"])
def test_looking_at_every_page_changes_nothing(both: Flask, world: World, who: str) -> None:
    browser = world.browser(both, who)
    before = read(everything)
    seen = [path for path, answer, _page in pages(browser, MOST_PAGES) if answer.status_code < 500]
    assert len(seen) >= 3
    assert read(everything) == before
