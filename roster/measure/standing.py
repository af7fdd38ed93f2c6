"""Crowds that stand ready: each is made once in a run and serves every bench that asks for it."""

from __future__ import annotations

import atexit
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

from flask import Flask

from roster.measure import crowd, crowd_events
from roster.measure.databases import Place, fresh, opened
from roster.services.clock import SetClock
from roster.store.base import db

PEOPLE_AN_EVENT = 5
"""20,000 events go with 100,000 people."""


@dataclass(frozen=True)
class Standing:
    """A filled database, what lies in it, and how many people and events there are."""

    place: Place
    ground: crowd.Ground
    people: int
    events: int


_kept = ExitStack()
_made: dict[tuple[str, int], Standing] = {}
atexit.register(_kept.close)


def crowd_of(kind: str, people: int) -> Standing:
    """The crowd of that size on that database; it is taken away when the process ends."""
    known = _made.get((kind, people))
    if known is None:
        place = _kept.enter_context(fresh(kind))
        with opened(place, SetClock(crowd.NOW)):
            ground = crowd.lay()
            crowd.take_on(ground, list(crowd.newcomers(people)))
            events = people // PEOPLE_AN_EVENT
            crowd_events.send_out(ground, events)
            _settle()
        known = _made[(kind, people)] = Standing(place, ground, people, events)
    return known


def _settle() -> None:
    """Let PostgreSQL count its rows now, as it does by itself a minute after so many came."""
    if db.engine.dialect.name == "postgresql":
        with db.engine.connect() as connection:
            plain = connection.execution_options(isolation_level="AUTOCOMMIT")
            plain.exec_driver_sql("VACUUM ANALYZE")


@contextmanager
def standing(kind: str, people: int) -> Iterator[tuple[Flask, Standing]]:
    """The application on such a crowd, with its context open; the clock stands at its day."""
    known = crowd_of(kind, people)
    with opened(known.place, SetClock(crowd.NOW)) as app:
        yield app, known


def forget() -> None:
    """Take all crowds away now."""
    _made.clear()
    _kept.pop_all().close()
