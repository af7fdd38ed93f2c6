"""Every string of a page is marked: in the made-up language all text stands between ⟦ and ⟧.

What is left over must be a value of the database, a day, a time, a number, or our own name.
"""

from __future__ import annotations

import re

import pytest
from flask import Flask
from sqlalchemy import Text, select

from roster.domain.people import system
from roster.store.base import db
from roster.store.models.people import person
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.words.catalogue import PSEUDO
from tests.support.crawl import Page, pages
from tests.support.world import World, build

MOST_PAGES = 60
MARKED = re.compile(r"⟦[^⟦⟧]*⟧")
FORMATTED = re.compile(
    r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b"
    r"|\b(PDT|PST|MDT|MST|UTC|km|ft|min|MB|CSV|XLSX|Seed Muster|English|Español)\b|\b[VE]\d+\b"
    r"|\b[2-9A-HJKMNP-Z]{4}-[2-9A-HJKMNP-Z]{4}\b"  # the number of an answer
)


def values_of_the_database(store: Store) -> list[str]:
    """Every text value that could not be a code word, the longest first."""
    found: set[str] = set()
    for table in db.metadata.sorted_tables:
        for column in table.columns:
            if isinstance(column.type, Text) or column.name.endswith("name"):
                found.update(str(v) for v in store.unit.run(select(column)).scalars() if v)
    shown = (value for value in found if re.search(r"[A-Z\s\d@]", value))
    return sorted(shown, key=len, reverse=True)


def unmarked(texts: list[str], values: list[str]) -> list[str]:
    """The words of a page that are neither marked nor data."""
    left = []
    for text in texts:
        rest = text
        while MARKED.search(rest):
            rest = MARKED.sub(" ", rest)
        for value in values:
            rest = rest.replace(value, " ")
        rest = FORMATTED.sub(" ", rest)
        if re.search(r"[^\W\d_]{2,}", rest):
            left.append(" ".join(rest.split()))
    return left


@pytest.fixture
def world(app: Flask) -> World:
    made = build()

    def speak(store: Store) -> None:
        store.unit.run(person.update().values(language=PSEUDO))
        store.unit.note("change", "person", 0)

    write(speak, actor=system("test"))
    return made


def test_unmarked_text_is_found() -> None:
    page = Page('<p title="Hello">⟦Marked ⟦term⟧ x⟧ Anna Test, Sat 3 Jul</p><p>Sign out</p>')
    assert unmarked(page.texts, ["Anna Test"]) == ["Hello", "Sign out"]


@pytest.mark.parametrize(
    "who", ["anonymous", "volunteer", "crew", "lead", "regional", "coordinator"]
)
def test_every_text_of_every_page_is_marked(app: Flask, world: World, who: str) -> None:
    browser = world.browser(app, who)
    seen, wrong = set[str](), {}
    values = read(values_of_the_database)
    for path, answer, page in pages(browser, MOST_PAGES, {"Accept-Language": PSEUDO}):
        seen.add(path)
        assert answer.status_code < 500, path
        left = unmarked(page.texts, values) if page else []
        if left:
            wrong[path] = left
    assert wrong == {}
    assert seen >= {"/", "/sign-in"}
