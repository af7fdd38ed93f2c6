"""Fresh databases for tests: a migrated template, copied or emptied for each test."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg
from flask import Flask

from roster.measure import databases
from roster.measure.databases import KEY, Place, on_server, run_on_server
from roster.store import guards
from roster.store.base import db
from roster.store.engine import WRITE
from roster.store.wiring import Clock

__all__ = ["KEY", "Postgres", "Sqlite", "opened"]


@contextmanager
def opened(url: str, folder: Path, clock: Clock) -> Iterator[Flask]:
    """The application, testing, with its context open."""
    with databases.opened(Place(url, str(folder)), clock) as app:
        app.testing = True
        yield app


@dataclass
class Sqlite:
    """A migrated SQLite file to copy."""

    folder: Path

    def __post_init__(self) -> None:
        self.file = self.folder / "template.sqlite"
        databases.migrate(Place(f"sqlite:///{self.file}", str(self.folder)))

    @contextmanager
    def fresh(self, folder: Path, clock: Clock) -> Iterator[Flask]:
        """An application on a copy."""
        copy = folder / "roster.sqlite"
        shutil.copy(self.file, copy)
        with opened(f"sqlite:///{copy}", folder, clock) as app:
            yield app


@dataclass
class Postgres:
    """A migrated PostgreSQL database, emptied between tests."""

    server: str
    template: str

    @classmethod
    def where_there_is_one(cls, folder: Path) -> Postgres | None:
        """A template on the server of ROSTER_TEST_POSTGRES, or None."""
        server = os.environ.get("ROSTER_TEST_POSTGRES")
        if not server:
            return None
        made = cls(server, f"roster_template_{os.getpid()}")
        run_on_server(server, f"CREATE DATABASE {made.template}")
        databases.migrate(Place(made.url, str(folder)))
        return made

    @property
    def url(self) -> str:
        """The address of the database."""
        return on_server(self.server, self.template)

    @contextmanager
    def fresh(self, folder: Path, clock: Clock) -> Iterator[Flask]:
        """An application on the database, emptied afterwards (a copy takes ten times as long)."""
        try:
            with opened(self.url, folder, clock) as app:
                yield app
                self._guard_again()
        finally:
            self.empty()

    @staticmethod
    def _guard_again() -> None:
        """A test that took guards away to see what happens leaves them to the next one."""
        with db.engine.connect().execution_options(**{WRITE: True}) as c, c.begin():
            if guards.names(c) != guards.expected():
                guards.make(c)

    def empty(self) -> None:
        """Take every row out again and start numbers anew."""
        names = [t for t in db.metadata.tables if t != "journal_head"]
        asked = " UNION ALL ".join(
            f"SELECT '{t}' WHERE EXISTS (SELECT 1 FROM \"{t}\")"  # noqa: S608 - our own names
            for t in names
        )
        with psycopg.connect(self.url, autocommit=True) as connection:
            full = [row[0] for row in connection.execute(asked.encode())]
            if full:
                listed = ", ".join(f'"{t}"' for t in full)
                connection.execute(f"TRUNCATE {listed} RESTART IDENTITY CASCADE".encode())
            connection.execute(b"UPDATE journal_head SET seq = 0, hash = ''")

    def close(self) -> None:
        """Drop the template."""
        run_on_server(self.server, f"DROP DATABASE {self.template} WITH (FORCE)")
