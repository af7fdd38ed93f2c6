"""Fixtures: an application on a fresh database, SQLite always, PostgreSQL where there is one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flask import Flask

from roster.services.clock import SetClock
from tests.support.databases import Postgres, Sqlite

NOW = datetime(2027, 6, 16, 15, 10, tzinfo=UTC)


@pytest.fixture
def clock() -> SetClock:
    """Wed 16 Jun 2027, 08:10 PDT; move it with `clock.forward(timedelta(...))`."""
    return SetClock(NOW)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Sqlite:
    """A migrated empty SQLite file, made once and copied for each test."""
    return Sqlite(tmp_path_factory.mktemp("sqlite"))


@pytest.fixture(scope="session")
def postgres_template(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Postgres]:
    """A migrated empty PostgreSQL database, made once and emptied after each test."""
    made = Postgres.where_there_is_one(tmp_path_factory.mktemp("postgres"))
    if made is None:
        pytest.skip("PostgreSQL not found: set ROSTER_TEST_POSTGRES")
    yield made
    made.close()


@pytest.fixture
def app(sqlite_template: Sqlite, tmp_path: Path, clock: SetClock) -> Iterator[Flask]:
    """The application on a fresh SQLite database, with an application context open."""
    with sqlite_template.fresh(tmp_path, clock) as made:
        yield made


@pytest.fixture
def postgres_app(postgres_template: Postgres, tmp_path: Path, clock: SetClock) -> Iterator[Flask]:
    """The application on a fresh PostgreSQL database, with an application context open."""
    with postgres_template.fresh(tmp_path, clock) as made:
        yield made


@pytest.fixture(
    params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)],
)
def both(request: pytest.FixtureRequest) -> Flask:
    """The application on each of the two databases in turn."""
    name = "app" if request.param == "sqlite" else "postgres_app"
    made: Flask = request.getfixturevalue(name)
    return made
