"""One valid row for every table, made from the tables themselves, parents first."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

from sqlalchemy import BigInteger, Connection, Date, DateTime, Float, Integer, LargeBinary, Table
from sqlalchemy.types import TypeDecorator

from roster.store import models
from roster.store.base import Instant, db

assert models.__all__
DAY = date(2027, 6, 16)
AT = datetime(2027, 6, 16, 15, 10, tzinfo=UTC)

# Values that a CHECK or a rule asks for; all else is made up from the column's type.
GIVEN: dict[str, dict[str, Any]] = {
    "site": {"majority_age": 18, "lat": 46.9, "lon": -117.05, "time_zone": "America/Los_Angeles"},
    "closure": {"kind": "site", "until_at": AT + timedelta(days=9)},
    "person": {"state": "active", "root_id": None, "language": "en"},
    "person_address": {"use": "sign_in", "until": None},
    "staff_grant": {"role": "regional"},
    "withheld": {"kind": "suspended"},
    "free_rule": {"weekdays": 127},
    "away": {"until_on": DAY + timedelta(days=3)},
    "step": {"kind": "lesson"},
    "prerequisite": {},
    "completion": {"source": "self"},
    "paper_form": {"kind": "release"},
    "signature": {"way": "typed"},
    "second_sign": {"way": "call"},
    "event": {
        "kind": "collecting", "stage": "open", "date_state": "fixed", "outcome": None,
        "capacity": 12, "taken": 1, "minimum_crew": 3, "ends_at": AT + timedelta(hours=5),
    },
    "spot": {"state": "placed"},
    "lead_ask": {"role": "lead", "state": "agreed"},
    "heard": {"way": "spoken"},
    "head_count": {"way": "out"},
    "number_block": {"first_no": 1, "last_no": 10},
    "outbox": {"class": "at_least_once", "state": "waiting"},
    "feed": {"kind": "person"},
    "job_run": {"state": "done"},
    "session": {"factor": "link"},
    "link": {"purpose": "seen"},
    "import_row": {"act": "new"},
    "trial": {"act": "move"},
    "journal": {"seq": 10**6, "prev": "", "hash": "0" * 64},
}  # fmt: skip
OPEN_ENDS = {"until_on", "ended_at", "ended_seq", "ended_why", "undone_at", "revoked_at", "until"}


def made_up(column: Any) -> Any:
    """A plausible value for a column, by its type."""
    kind = column.type
    if isinstance(kind, Instant):
        return AT
    if isinstance(kind, TypeDecorator):
        return f"{column.table.name} {column.name}"
    for types, value in (
        ((BigInteger, Integer), 1),
        ((Float,), 1.5),
        ((DateTime,), datetime(2027, 6, 20, 7, 0)),  # noqa: DTZ001 - local time is kept without a zone
        ((Date,), DAY),
        ((LargeBinary,), b"bytes"),
    ):
        if isinstance(kind, types):
            return value
    return f"{column.table.name} {column.name}"


def row_for(table: Table, parents: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """A valid row whose foreign keys point at the rows of `parents`."""
    given = GIVEN.get(table.name, {})
    row: dict[str, Any] = {}
    for column in table.columns:
        if column.name in given:
            row[column.name] = given[column.name]
        elif column.nullable and column.name in OPEN_ENDS:
            row[column.name] = None
        elif column.foreign_keys:
            target = next(iter(column.foreign_keys)).column
            parent = parents.get(target.table.name)
            row[column.name] = None if parent is None else parent[target.name]
        elif column.name == "id" and isinstance(column.type, BigInteger):
            continue
        else:
            row[column.name] = made_up(column)
    return row


def ordered() -> list[Table]:
    """All tables, parents before children."""
    return list(db.metadata.sorted_tables)


def fill(connection: Connection) -> dict[str, dict[str, Any]]:
    """Put one valid row into every table; gives the rows as they stand, by table name."""
    rows: dict[str, dict[str, Any]] = {}
    for table in ordered():
        if table.name == "journal_head":
            continue
        row = row_for(table, rows)
        made = connection.execute(table.insert().values(**row))
        if "id" in table.c and "id" not in row and made.inserted_primary_key:
            row["id"] = made.inserted_primary_key[0]
        rows[table.name] = row
    return rows
