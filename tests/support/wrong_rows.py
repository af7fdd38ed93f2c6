"""Rows that break one rule of the schema each, made from the tables themselves."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, Connection, Index, Table, UniqueConstraint
from sqlalchemy.exc import IntegrityError

from roster.store.base import db
from tests.support.rows import AT, DAY, fill, row_for

NO_DAY = DAY - timedelta(days=1)
# What breaks each CHECK that is no list of words; the other columns stay valid.
BREAKS: dict[str, dict[str, Any]] = {
    "days_in_order": {"from_on": DAY, "until_on": NO_DAY},
    "majority_age": {"majority_age": 17},
    "on_earth": {"lat": 91.0},
    "sd_days": {"sd_days": 0.0},
    "weekdays": {"weekdays": 128},
    "own_until": {"own_until": NO_DAY},
    "taken": {"taken": 13},
    "times_in_order": {"ends_at": AT},
    "sizes": {"capacity": 0, "taken": 0},
    "line_no": {"state": "waiting", "line_no": None},
    "numbers_in_order": {"first_no": 11, "last_no": 10},
}


def short_name(check: CheckConstraint) -> str:
    return str(check.name).removeprefix(f"ck_{check.table.name}_")


CHECKS = [
    (t, c) for t in db.metadata.sorted_tables
    for c in sorted(t.constraints, key=lambda c: str(c.name)) if isinstance(c, CheckConstraint)
]  # fmt: skip
UNIQUES: list[tuple[Table, Any]] = [
    (t, c) for t in db.metadata.sorted_tables
    for c in [*t.constraints, *t.indexes]
    if isinstance(c, UniqueConstraint) or (isinstance(c, Index) and c.unique)
]  # fmt: skip


def another(table: Table, row: dict[str, Any]) -> dict[str, Any]:
    """The same row with a number of its own."""
    made = dict(row)
    if "id" in table.c and isinstance(table.c.id.type, BigInteger):
        made["id"] = 7_000_001
    return made


def refused(connection: Connection, table: Table, row: dict[str, Any], word: str) -> bool:
    """Whether the database refuses the row, and by a constraint of that kind."""
    point = connection.begin_nested()
    try:
        connection.execute(table.insert().values(**row))
    except IntegrityError as error:
        return word in str(error.orig).lower()
    finally:
        point.rollback()
    return False


def standing(connection: Connection) -> dict[str, dict[str, Any]]:
    """The rows of every table, put there first if the database is empty."""
    person = db.metadata.tables["person"]
    if connection.execute(person.select().limit(1)).first() is None:
        return fill(connection)
    return {
        t.name: dict(connection.execute(t.select()).mappings().first() or row_for(t, {}))
        for t in db.metadata.sorted_tables
    }


def accepted_by_checks(connection: Connection) -> list[str]:
    """CHECKs that let a wrong row in; there should be none."""
    accepted = []
    rows = standing(connection)
    for table, check in CHECKS:
        breaks = BREAKS.get(short_name(check)) or {short_name(check): "no such word"}
        if not refused(connection, table, another(table, rows[table.name]) | breaks, "check"):
            accepted.append(str(check.name))
    return accepted


def accepted_by_uniques(connection: Connection) -> list[str]:
    """Unique keys that let a second row in; there should be none."""
    accepted = []
    rows = standing(connection)
    for table, unique in UNIQUES:
        row = second(table, unique, rows)
        first = connection.begin_nested()
        if any(rows[table.name].get(c.name) is None for c in unique.columns):
            connection.execute(table.insert().values(**row))
            row |= {"id": 7_000_002} if "id" in table.c else {}
        if not refused(connection, table, row, "unique"):
            accepted.append(f"{table.name}: {[c.name for c in unique.columns]}")
        first.rollback()
    return accepted


def second(table: Table, unique: Any, rows: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """A row that is equal to the one there in this key and apart from it in all others."""
    row = another(table, rows[table.name])
    for other_table, other in UNIQUES:
        if other_table is table and other is not unique:
            row |= _apart(other, unique, row)
    return row | {c.name: rows_value(c, rows) for c in unique.columns if row.get(c.name) is None}


def rows_value(column: Any, rows: dict[str, dict[str, Any]]) -> Any:
    target = next(iter(column.foreign_keys)).column
    return rows[target.table.name][target.name]


def _apart(other: Any, unique: Any, row: dict[str, Any]) -> dict[str, Any]:
    """Move one text or number column of another unique key away, so that only ours is hit."""
    mine = {c.name for c in unique.columns}
    for column in other.columns:
        value = row.get(column.name)
        if column.name in mine or column.foreign_keys or value is None:
            continue
        if isinstance(value, str) and not _listed(column):
            return {column.name: value + " too"}
        if isinstance(value, int):
            return {column.name: value + 500}
    return {}


def _listed(column: Any) -> bool:
    return any(
        isinstance(c, CheckConstraint) and short_name(c) == column.name
        for c in column.table.constraints
    )
