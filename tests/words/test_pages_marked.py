"""Every string of a page is marked: in the made-up language all text stands between ⟦ and ⟧.

What is left over must be a value of the database, a day, a time, a number, or our own name.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from flask import Flask
from sqlalchemy import Text, select

from roster.domain.people import system
from roster.store.base import db
from roster.store.models.people import person
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.words.catalogue import PSEUDO
from tests.support.world import World, build

SPOKEN_ATTRIBUTES = ("aria-label", "title", "placeholder", "alt", "data-label", "data-unit")
SILENT = {"script", "style", "code"}
MOST_PAGES = 60
MARKED = re.compile(r"⟦[^⟦⟧]*⟧")
FORMATTED = re.compile(
    r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b"
    r"|\b(PDT|PST|MDT|MST|UTC|km|ft|min|MB|CSV|XLSX|Seed Muster)\b|\b[VE]\d+\b"
)


class Spoken(HTMLParser):
    """Collects what a reader sees or hears, and the links of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.links: list[str] = []
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.silent += tag in SILENT
        given = dict(attrs)
        self.texts += [given[a] or "" for a in SPOKEN_ATTRIBUTES if a in given]
        if tag == "a" and (given.get("href") or "").startswith("/"):
            self.links.append(str(given["href"]).partition("#")[0])

    def handle_endtag(self, tag: str) -> None:
        self.silent -= tag in SILENT

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.texts.append(data)


def spoken(page: str) -> Spoken:
    parser = Spoken()
    parser.feed(page)
    return parser


def values_of_the_database(store: Store) -> list[str]:
    """Every text value that could not be a code word, the longest first."""
    found: set[str] = set()
    for table in db.metadata.sorted_tables:
        for column in table.columns:
            if isinstance(column.type, Text) or column.name.endswith("name"):
                found.update(str(v) for v in store.unit.run(select(column)).scalars() if v)
    shown = (value for value in found if re.search(r"[A-Z\s\d]", value))
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
    page = spoken('<p title="Hello">⟦Marked ⟦term⟧ x⟧ Anna Test, Sat 3 Jul</p><p>Sign out</p>')
    assert unmarked(page.texts, ["Anna Test"]) == ["Hello", "Sign out"]


@pytest.mark.parametrize(
    "who", ["anonymous", "volunteer", "crew", "lead", "regional", "coordinator"]
)
def test_every_text_of_every_page_is_marked(app: Flask, world: World, who: str) -> None:
    browser = world.browser(app, who)
    waiting, seen, wrong = ["/", "/sign-in", "/nowhere"], set[str](), {}
    values = read(values_of_the_database)
    while waiting and len(seen) < MOST_PAGES:
        path = waiting.pop(0)
        if path in seen:
            continue
        seen.add(path)
        answer = browser.get(path, headers={"Accept-Language": PSEUDO})
        assert answer.status_code < 500, path
        if answer.location:
            waiting.append(answer.location)
        if answer.mimetype == "text/html" and answer.status_code not in (301, 302, 303):
            page = spoken(answer.get_data(as_text=True))
            waiting += page.links
            left = unmarked(page.texts, values)
            if left:
                wrong[path] = left
    assert wrong == {}
    assert seen >= {"/", "/sign-in"}
