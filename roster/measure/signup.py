"""What a sign-up costs beside the database driver alone running the very same statements."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import event as hooks
from sqlalchemy import func, select
from sqlalchemy.orm import registry

from roster.measure import scene
from roster.measure.databases import Place, fresh, kinds, on_server, opened, run_on_server
from roster.measure.lines import Line
from roster.measure.pairs import ROUNDS, Pair
from roster.services import spots
from roster.store.base import db
from roster.store.models.events import spot

AT_LEAST = 0.12
SPOTS, EACH = 12, 16
"""Each sample is one event: so many spots, and so many people who sign up one after another."""
COMMIT = "COMMIT"


@dataclass(frozen=True)
class Statement:
    """What went to the driver: text and parameters, or one list of them."""

    text: str
    values: Any
    many: bool


@contextmanager
def copied(place: Place, name: str) -> Iterator[Place]:
    """A copy of a database that nobody has open."""
    if place.kind == "sqlite":
        folder = Path(place.folder) / name
        folder.mkdir()
        shutil.copy(place.url.removeprefix("sqlite:///"), folder / "roster.sqlite")
        yield Place(f"sqlite:///{folder}/roster.sqlite", str(folder))
        return
    server = os.environ["ROSTER_TEST_POSTGRES"]
    own = place.url.rsplit("/", 1)[1]
    run_on_server(server, f'CREATE DATABASE "{own}_{name}" TEMPLATE "{own}"')
    try:
        yield replace(place, url=on_server(server, f"{own}_{name}"))
    finally:
        run_on_server(server, f'DROP DATABASE "{own}_{name}" WITH (FORCE)')


def settled(place: Place) -> None:
    """Bring what SQLite keeps beside its file into the file, so that it can be copied."""
    if place.kind == "sqlite":
        with sqlite3.connect(place.url.removeprefix("sqlite:///")) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


class Recorder:
    """Writes down every statement that goes to the driver, commits among them."""

    def __init__(self) -> None:
        self.found: list[Statement] = []
        hooks.listen(db.engine, "before_cursor_execute", self._execute)
        hooks.listen(db.engine, "commit", self._commit)

    def _execute(
        self, _c: Any, _cursor: Any, text: str, values: Any, _context: Any, many: bool
    ) -> None:
        self.found.append(Statement(text, values, many))

    def _commit(self, _connection: Any) -> None:
        self.found.append(Statement(COMMIT, (), False))

    def during(self, act: Callable[[], None]) -> list[Statement]:
        """What went to the driver while `act` ran."""
        self.found = []
        act()
        return self.found


class Driver:
    """The bare driver, set up as the service sets it up."""

    def __init__(self, place: Place) -> None:
        if place.kind == "sqlite":
            self.connection: Any = sqlite3.connect(
                place.url.removeprefix("sqlite:///"), isolation_level=None
            )
            for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
                self.connection.execute(f"PRAGMA {pragma}")
        else:
            import psycopg

            self.connection = psycopg.connect(place.url)

    def run(self, statements: list[Statement]) -> None:
        """All statements, one after the other, rows fetched."""
        for one in statements:
            if one.text == COMMIT:
                self.connection.commit()
                continue
            cursor = self.connection.cursor()
            if one.many:
                cursor.executemany(one.text, one.values)
            else:
                cursor.execute(one.text, one.values)
            if cursor.description is not None:
                cursor.fetchall()
            cursor.close()


def _cpu(act: Callable[[], object]) -> float:
    began = time.process_time()
    act()
    return time.process_time() - began


def _samples(here: scene.Scene) -> list[Callable[[], None]]:
    """One act a sample: an event of its own, and its own people who sign up for it."""

    def sample(event: int, people: tuple[int, ...]) -> Callable[[], None]:
        def act() -> None:
            for person in people:
                spots.sign_up(scene.ACTOR, event, person)

        return act

    found = []
    for i in range(ROUNDS + 1):
        day = here.day + timedelta(days=i)
        event = scene.an_event(here.site, here.population, day, SPOTS)
        found.append(sample(event, here.people[i * EACH : (i + 1) * EACH]))
    return found


def _states(place: Place) -> list[tuple[str, int]]:
    with opened(place), db.engine.connect() as connection:
        counts = select(spot.c.state, func.count()).group_by(spot.c.state).order_by(spot.c.state)
        return [(str(state), int(n)) for state, n in connection.execute(counts)]


def compared(kind: str) -> Line:
    """The same sign-ups three times: written down, by the use case, by the driver alone.

    CPU of this process; a database server's own is on neither side.
    """
    with ExitStack() as stack:
        place = stack.enter_context(fresh(kind))
        with opened(place):
            acts = _samples(scene.make(EACH * (ROUNDS + 1), SPOTS))
        settled(place)
        first, second, third = (stack.enter_context(copied(place, name)) for name in "abc")
        with opened(first):
            recorder = Recorder()
            written = [recorder.during(act) for act in acts]
        above, below = _timed(second, third, acts, written)
        wrong = None if _states(second) == _states(third) else "the driver ended elsewhere"
    if list(_registry().mappers):
        wrong = "entities on the path"
    statements = sum(len(one) for one in written) / len(written) / EACH
    pair = Pair("signup", kind, EACH * ROUNDS, below, above, at_least=AT_LEAST)
    line = pair.line(wrong)
    return replace(line, more={**line.more, "statements": f"{statements:.1f}"})


def _registry() -> registry:
    found: registry = db.Model.registry  # type: ignore[attr-defined]  # made at run time
    return found


def _timed(
    second: Place, third: Place, acts: list[Callable[[], None]], written: list[list[Statement]]
) -> tuple[list[float], list[float]]:
    """CPU seconds of use case and driver, sample by sample; the first sample only warms up."""
    driver = Driver(third)
    above, below = [], []
    with opened(second):
        for act, statements in zip(acts, written, strict=True):
            above.append(_cpu(act))
            below.append(_cpu(lambda now=statements: driver.run(now)))  # type: ignore[misc]
    driver.connection.close()
    return above[1:], below[1:]


def lines(_people: int) -> Iterator[Line]:
    """One line for each database."""
    for kind in kinds():
        yield compared(kind)
