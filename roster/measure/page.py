"""A page of fifty rows beside the same page with its values in hand: same session and template."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from types import ModuleType
from typing import Any

from flask import Flask
from sqlalchemy import select

from roster.domain.people import system
from roster.measure.asked import Answer, Asked
from roster.measure.crowd import TODAY
from roster.measure.databases import kinds
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import Pair, interleaved
from roster.measure.standing import Standing, standing
from roster.services import event_lists, people_pages, sessions
from roster.store.models.events import event
from roster.store.models.people import person
from roster.store.registry import Store
from roster.store.transaction import read, write

AT_MOST = 1.8
ROWS = 50
_SECRETS = re.compile(rb'value="[^"]{30,}"')
"""What differs from page to page: the form's token and the number of an operation."""


@dataclass(frozen=True)
class Listing:
    """A list: its address, the use case that reads it, and which rows must stand on it."""

    name: str
    path: str
    module: ModuleType
    use_case: str
    naive: Callable[[Store], list[int]]


def _people(store: Store) -> list[int]:
    rows = store.unit.run(select(person.c.id, person.c.name_key)).all()
    return [row.id for row in sorted(rows, key=lambda row: (row.name_key, row.id))[:ROWS]]


def _events(store: Store) -> list[int]:
    rows = store.unit.run(select(event.c.id, event.c.day, event.c.stage)).all()
    days: list[tuple[date, int]] = [
        (row.day, row.id) for row in rows if row.stage not in ("done", "called_off")
    ]
    return [number for _day, number in sorted(days)[:ROWS]]


LISTINGS = (
    Listing("people", f"/people?on={TODAY}", people_pages, "people_page", _people),
    Listing("events", "/events", event_lists, "events_page", _events),
)


@contextmanager
def in_hand(listing: Listing, found: object) -> Iterator[None]:
    """The use case gives at once what it once found; all else stays."""
    kept = getattr(listing.module, listing.use_case)
    setattr(listing.module, listing.use_case, lambda *_asked: found)
    try:
        yield
    finally:
        setattr(listing.module, listing.use_case, kept)


def signed_in(app: Flask, known: Standing, listing: Listing) -> Asked:
    """The request of a coordinator who is signed in; put once, so that the templates are ready."""
    token = write(
        lambda store: sessions.make(store, known.ground.coordinator, "code", "bench"),
        actor=system("cli"),
    )
    asked = Asked(app, listing.path, Cookie=f"roster_session={token}")
    asked.answer()
    return asked


def found_by(listing: Listing, asked: Asked) -> tuple[Any, Answer]:
    """What the use case gave for a request, and the answer made of it."""
    kept: list[Any] = []
    use_case = getattr(listing.module, listing.use_case)

    def watched(*values: Any) -> Any:
        kept.append(use_case(*values))
        return kept[-1]

    setattr(listing.module, listing.use_case, watched)
    try:
        answer = asked.answer()
    finally:
        setattr(listing.module, listing.use_case, use_case)
    return kept[-1], answer


def wrong_of(listing: Listing, found: Any, whole: Answer, quick: Answer) -> str | None:
    """What does not agree: the rows with the naive query, or the two pages with each other."""
    if whole.status != 200 or quick.status != 200:
        return f"answers {whole.status} and {quick.status}"
    if [row.id for row in found.rows] != read(listing.naive):
        return "the rows are not those of the naive query"
    if _SECRETS.sub(b"", whole.body) != _SECRETS.sub(b"", quick.body):
        return "the pages differ"
    return None


def compared(kind: str, app: Flask, known: Standing, listing: Listing) -> Line:
    """One line: CPU of the page by that of the page with its values in hand."""
    asked = signed_in(app, known, listing)
    found, whole = found_by(listing, asked)

    def quick() -> Answer:
        with in_hand(listing, found):
            return asked.answer()

    wrong = wrong_of(listing, found, whole, quick())
    meter = Meter.here()
    above, below = interleaved(meter.side(asked.answer), meter.side(quick))
    pair = Pair(f"page.{listing.name}", kind, known.people, above, below, at_most=AT_MOST)
    line = pair.line(wrong)
    return replace(line, goal="page", more={**line.more, "server": meter.sees_server})


def lines(people: int) -> Iterator[Line]:
    """A line for each list on each database."""
    for kind in kinds():
        for listing in LISTINGS:
            with standing(kind, people) as (app, known):
                yield compared(kind, app, known, listing)
