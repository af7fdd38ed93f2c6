"""Fresh databases for tests: a migrated template, copied for each test."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg
from flask import Flask
from flask_migrate import upgrade

from roster import config as settings
from roster.app import create_app
from roster.store.base import db
from roster.store.wiring import Clock

KEY = "a key of thirty-two bytes or more, for tests only"


def environment(url: str) -> dict[str, str]:
    """The settings of a test: development on a database of its own."""
    return {"ROSTER_DATABASE_URL": url, "ROSTER_SECRET_KEY": KEY}


def make(url: str, folder: Path, clock: Clock | None = None) -> Flask:
    """The application on that database."""
    app = create_app(settings.read(environment(url), folder), clock)
    app.testing = True
    return app


def migrate(url: str, folder: Path) -> None:
    """Bring a database to head."""
    app = make(url, folder)
    with app.app_context():
        upgrade()
        db.engine.dispose()


@contextmanager
def opened(url: str, folder: Path, clock: Clock) -> Iterator[Flask]:
    """The application with its context open; its connections are closed at the end."""
    app = make(url, folder, clock)
    with app.app_context():
        try:
            yield app
        finally:
            db.engine.dispose()


@dataclass
class Sqlite:
    """A migrated SQLite file to copy."""

    folder: Path

    def __post_init__(self) -> None:
        self.file = self.folder / "template.sqlite"
        migrate(f"sqlite:///{self.file}", self.folder)

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
    folder: Path
    template: str

    @classmethod
    def where_there_is_one(cls, folder: Path) -> Postgres | None:
        """A template on the server of ROSTER_TEST_POSTGRES, or None."""
        server = os.environ.get("ROSTER_TEST_POSTGRES")
        if not server:
            return None
        made = cls(server, folder, f"roster_template_{os.getpid()}")
        made.run(f"CREATE DATABASE {made.template}")
        migrate(made.url(made.template), folder)
        return made

    def url(self, name: str) -> str:
        """The address of a database on the same server."""
        return self.server.rsplit("/", 1)[0] + "/" + name

    def run(self, statement: str) -> None:
        """One statement outside a transaction."""
        with psycopg.connect(self.server, autocommit=True) as connection:
            connection.execute(statement.encode())

    @contextmanager
    def fresh(self, folder: Path, clock: Clock) -> Iterator[Flask]:
        """An application on the database, emptied afterwards (a copy takes ten times as long)."""
        try:
            with opened(self.url(self.template), folder, clock) as app:
                yield app
        finally:
            self.empty()

    def empty(self) -> None:
        """Take every row out again and start numbers anew."""
        names = [t for t in db.metadata.tables if t != "journal_head"]
        asked = " UNION ALL ".join(
            f"SELECT '{t}' WHERE EXISTS (SELECT 1 FROM \"{t}\")"  # noqa: S608 - our own names
            for t in names
        )
        with psycopg.connect(self.url(self.template), autocommit=True) as connection:
            full = [row[0] for row in connection.execute(asked.encode())]
            if full:
                listed = ", ".join(f'"{t}"' for t in full)
                connection.execute(f"TRUNCATE {listed} RESTART IDENTITY CASCADE".encode())
            connection.execute(b"UPDATE journal_head SET seq = 0, hash = ''")

    def close(self) -> None:
        """Drop the template."""
        self.run(f"DROP DATABASE {self.template} WITH (FORCE)")
