"""What must not change does not, whoever asks the database."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Table, delete, update
from sqlalchemy.exc import DBAPIError

from roster.store import guards
from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.rows import AT, fill, made_up

GUARDED = guards.guarded()


def writing() -> Any:
    return db.engine.connect().execution_options(**{WRITE: True})


def changeable(table: Table) -> Any:
    """A column whose change must be refused: no key, not one of those that may be ended."""
    return next(
        c for c in table.columns
        if not c.primary_key and not c.foreign_keys and c.name not in guards.MAY_END
    )  # fmt: skip


def test_every_guard_stands_in_a_fresh_database(both: Any) -> None:
    with writing() as connection, connection.begin():
        assert guards.names(connection) == guards.expected()


@pytest.mark.parametrize("table", GUARDED, ids=lambda t: t.name)
def test_a_guarded_row_is_neither_changed_nor_deleted(both: Any, table: Table) -> None:
    with writing() as connection, connection.begin():
        fill(connection)
    column = changeable(table)
    other = "another" if isinstance(made_up(column), str) else made_up(column)
    change = update(table).values({column.name: None if column.nullable else other})
    if column.nullable is False and not isinstance(other, str):
        change = (
            update(table).values({column.name: column + 1})
            if isinstance(other, int)
            else (update(table).values({column.name: _moved(other)}))
        )
    for statement in (change, delete(table)):
        with pytest.raises(DBAPIError, match="guard"), writing() as c, c.begin():
            c.execute(statement)


def _moved(value: Any) -> Any:
    from datetime import date, datetime, timedelta

    if isinstance(value, date | datetime):
        return value + timedelta(days=1)
    return value * 2 if isinstance(value, float) else value + value


@pytest.mark.parametrize(
    "table", [t for t in GUARDED if t.info["guard"] == "two_times"], ids=lambda t: t.name
)
def test_a_row_of_two_times_may_be_ended_once(both: Any, table: Table) -> None:
    with writing() as connection, connection.begin():
        fill(connection)
    end = update(table).values(ended_at=AT, ended_why="by a test")
    with writing() as connection, connection.begin():
        assert connection.execute(end).rowcount == 1
    with pytest.raises(DBAPIError, match="guard"), writing() as c, c.begin():
        c.execute(update(table).values(ended_why="another story"))
