"""Databases of their own for bench and drill: made, migrated, and taken away again."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from flask import Flask

from roster import config as settings
from roster.app import create_app
from roster.services.clock import MachineClock
from roster.store import migrating
from roster.store.base import db
from roster.store.wiring import Clock

KEY = "a key of thirty-two bytes or more, for measuring only"


@dataclass(frozen=True)
class Place:
    """A database and an instance folder; enough for a child process to open it again."""

    url: str
    folder: str

    @property
    def kind(self) -> str:
        """sqlite or postgresql."""
        return self.url.split(":", 1)[0].split("+")[0]


def make(place: Place, clock: Clock | None = None) -> Flask:
    """The application on that database."""
    environment = {"ROSTER_DATABASE_URL": place.url, "ROSTER_SECRET_KEY": KEY}
    return create_app(settings.read(environment, Path(place.folder)), clock or MachineClock())


@contextmanager
def opened(place: Place, clock: Clock | None = None) -> Iterator[Flask]:
    """The application with its context open; its connections are closed at the end."""
    app = make(place, clock)
    with app.app_context():
        try:
            yield app
        finally:
            db.engine.dispose()


def migrate(place: Place) -> None:
    """Bring a database to head."""
    with opened(place):
        migrating.upgrade()


def on_server(server: str, name: str) -> str:
    """The address of another database on the same PostgreSQL server."""
    return server.rsplit("/", 1)[0] + "/" + name


def run_on_server(server: str, statement: str) -> None:
    """One statement outside a transaction, such as CREATE DATABASE."""
    import psycopg

    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(statement.encode())


@contextmanager
def fresh(kind: str) -> Iterator[Place]:
    """A migrated, empty database of that kind: sqlite, or postgresql by ROSTER_TEST_POSTGRES."""
    with tempfile.TemporaryDirectory(prefix="roster-measure-") as folder:
        if kind == "sqlite":
            place = Place(f"sqlite:///{folder}/roster.sqlite", folder)
            migrate(place)
            yield place
            return
        server = os.environ["ROSTER_TEST_POSTGRES"]
        name = f"roster_measure_{os.getpid()}_{Path(folder).name[-6:]}".lower()
        run_on_server(server, f'CREATE DATABASE "{name}"')
        try:
            place = Place(on_server(server, name), folder)
            migrate(place)
            yield place
        finally:
            run_on_server(server, f'DROP DATABASE "{name}" WITH (FORCE)')


def kinds() -> list[str]:
    """The databases that can be measured here."""
    return ["sqlite", *(["postgresql"] if os.environ.get("ROSTER_TEST_POSTGRES") else [])]
