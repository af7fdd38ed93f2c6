"""The whole database as lines, and back: one form for SQLite and PostgreSQL."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from sqlalchemy import (
    BigInteger,
    Connection,
    Date,
    DateTime,
    LargeBinary,
    Table,
    func,
    select,
    text,
    update,
)

from roster.store import guards
from roster.store.base import Instant, db
from roster.store.engine import WRITE, writers_queue
from roster.store.models.access import session, sign_in
from roster.store.models.messages import outbox

BATCH = 500
RESTORED = "restored from a backup: it may have been sent since; `jobs retry` sends it"


def tables() -> list[Table]:
    """All tables, parents before children."""
    return list(db.metadata.sorted_tables)


class Snapshot:
    """Reads every table as of one moment."""

    def __enter__(self) -> Snapshot:
        self.connection = db.engine.connect()
        if self.connection.dialect.name == "postgresql":
            self.connection = self.connection.execution_options(isolation_level="REPEATABLE READ")
        self.connection.begin()
        return self

    def __exit__(self, *_exc: object) -> None:
        self.connection.rollback()
        self.connection.close()

    def lines(self, table: Table) -> Iterator[bytes]:
        """One JSON list a row, in the order of the columns, named in the first line."""
        yield json.dumps([c.name for c in table.columns]).encode() + b"\n"
        order = list(table.primary_key.columns) or list(table.columns)
        found = self.connection.execution_options(yield_per=BATCH).execute(
            select(table).order_by(*order)
        )
        for row in found:
            yield json.dumps([_out(v) for v in row]).encode() + b"\n"


def _out(value: Any) -> Any:
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, bytes):
        return base64.b64encode(value).decode()
    return value


def _into(column: Any, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(column.type, Instant | DateTime):
        return datetime.fromisoformat(value)
    if isinstance(column.type, Date):
        return date.fromisoformat(value)
    if isinstance(column.type, LargeBinary):
        return base64.b64decode(value)
    return value


def is_empty() -> bool:
    """Whether nobody and nothing of a programme stands in the database."""
    with db.engine.connect() as connection:
        return not any(
            connection.execute(select(func.count()).select_from(db.metadata.tables[name])).scalar()
            for name in ("person", "programme", "event", "journal")
        )


class Loading:
    """Fills the database from lines; all or nothing."""

    def __enter__(self) -> Loading:
        engine = db.engine
        self.queue = writers_queue(engine)
        self.queue.__enter__()
        self.connection: Connection = engine.connect().execution_options(**{WRITE: True})
        self.whole = self.connection.begin()
        guards.drop(self.connection)
        for table in reversed(tables()):
            if table.name == "person":
                self.connection.execute(update(table).values(root_id=None))
            self.connection.execute(table.delete())
        return self

    def load(self, table: Table, lines: Iterable[bytes]) -> int:
        """Put rows into one table; how many."""
        rows = iter(lines)
        names = json.loads(next(rows))
        unknown = set(names) - set(table.c.keys())
        if unknown:
            raise ValueError(f"{table.name} has no column {', '.join(sorted(unknown))}")
        count, later, batch = 0, [], []
        for line in rows:
            row = {n: _into(table.c[n], v) for n, v in zip(names, json.loads(line), strict=True)}
            if row.get("root_id") is not None:
                later.append((row["id"], row["root_id"]))
                row["root_id"] = None
            batch.append(row)
            count += 1
            if len(batch) == BATCH:
                self.connection.execute(table.insert(), batch)
                batch = []
        if batch:
            self.connection.execute(table.insert(), batch)
        for number, root in later:
            self.connection.execute(update(table).where(table.c.id == number).values(root_id=root))
        return count

    def settle(self) -> int:
        """What must not simply go on: nobody stays signed in, and unsent mail waits for a word.

        It may have gone out since the backup was made. Gives how many messages so wait.
        """
        for table in (session, sign_in):
            self.connection.execute(table.delete())
        done = self.connection.execute(
            update(outbox)
            .where(outbox.c.state.in_(("held", "waiting", "claimed", "sending")))
            .values(state="unknown", owner=None, lease=None, said=RESTORED)
        )
        return int(done.rowcount)

    def __exit__(self, kind: type[BaseException] | None, *_rest: object) -> None:
        try:
            if kind is None:
                guards.make(self.connection)
                self._numbers()
                self.whole.commit()
            else:
                self.whole.rollback()
        finally:
            self.connection.close()
            self.queue.__exit__(None, None, None)

    def _numbers(self) -> None:
        if self.connection.dialect.name != "postgresql":
            return
        for table in tables():
            if "id" in table.c and isinstance(table.c.id.type, BigInteger):
                self.connection.execute(
                    text(
                        f"SELECT setval(pg_get_serial_sequence('\"{table.name}\"', 'id'), "  # noqa: S608
                        f'(SELECT coalesce(max(id), 0) + 1 FROM "{table.name}"), false)'
                    )
                )
