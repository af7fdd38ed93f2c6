"""Every unique key and every CHECK says no on both databases, and so do foreign keys."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import BigInteger, CheckConstraint, Connection, Index, Table, UniqueConstraint
from sqlalchemy.exc import IntegrityError

from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.rows import AT, DAY, fill

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


def writing() -> Any:
    return db.engine.connect().execution_options(**{WRITE: True})


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


def test_every_check_refuses_what_it_names(both: Any) -> None:
    accepted = []
    with writing() as connection, connection.begin() as whole:
        rows = fill(connection)
        for table, check in CHECKS:
            breaks = BREAKS.get(short_name(check)) or {short_name(check): "no such word"}
            if not refused(connection, table, another(table, rows[table.name]) | breaks, "check"):
                accepted.append(check.name)
        whole.rollback()
    assert len(CHECKS) > 40
    assert accepted == []


def test_every_unique_key_refuses_a_second_row(both: Any) -> None:
    accepted = []
    with writing() as connection, connection.begin() as whole:
        rows = fill(connection)
        for table, unique in UNIQUES:
            row = second(table, unique, rows)
            first = connection.begin_nested()
            if row != another(table, rows[table.name]) and any(
                rows[table.name].get(c.name) is None for c in unique.columns
            ):
                connection.execute(table.insert().values(**row))
                row |= {"id": 7_000_002} if "id" in table.c else {}
            if not refused(connection, table, row, "unique"):
                accepted.append(f"{table.name}: {[c.name for c in unique.columns]}")
            first.rollback()
        whole.rollback()
    assert len(UNIQUES) > 50
    assert accepted == []


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


def test_a_row_without_its_parent_is_refused(both: Any) -> None:
    person = db.metadata.tables["away"]
    row = {"person": 999_999, "from_on": DAY, "until_on": DAY + timedelta(days=1)}
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), writing() as c, c.begin():
        c.execute(person.insert().values(**row))


def test_every_foreign_key_leads_an_index() -> None:
    missing = []
    for table in db.metadata.sorted_tables:
        leads = {tuple(c.name for c in i.columns)[:1] for i in table.indexes}
        leads |= {tuple(c.name for c in u.columns)[:1] for u in table.constraints
                  if isinstance(u, UniqueConstraint)}  # fmt: skip
        leads.add(tuple(c.name for c in table.primary_key.columns)[:1])
        missing += [f"{table.name}.{c.name}" for c in table.columns
                    if c.foreign_keys and (c.name,) not in leads]  # fmt: skip
    assert missing == []
