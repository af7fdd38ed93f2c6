"""How often something was asked for in a window of time: one guarded row a key and window."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, delete

from roster.store.models.access import rate
from roster.store.notes import note
from roster.store.unit import Unit


def counted(key: str, at: datetime, seconds: int) -> int:
    """Count one more of `key` in the window that `at` lies in; gives the count with this one."""
    window = (int(at.timestamp()) // seconds + 1) * seconds  # the instant at which it ends
    found: list[int] = []

    def body(connection: Connection) -> None:
        statement = _insert(connection.dialect.name, rate).values(key=key, window=window, count=1)
        statement = statement.on_conflict_do_update(
            index_elements=[rate.c.key, rate.c.window], set_={"count": rate.c.count + 1}
        ).returning(rate.c.count)
        found.append(int(connection.execute(statement).scalar_one()))

    note(body)
    return found[-1]


def _insert(dialect: str, table: Table) -> Any:
    """The database's own insert; the other database's half of SQLAlchemy is never loaded."""
    if dialect == "postgresql":
        from sqlalchemy.dialects.postgresql import insert

        return insert(table)
    from sqlalchemy.dialects.sqlite import insert as sqlite_insert

    return sqlite_insert(table)


class Rates:
    """What is over is taken away by the daily sweep."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def sweep(self, at: datetime) -> int:
        """Take away the windows that ended; gives how many rows went."""
        old = delete(rate).where(rate.c.window <= int(at.timestamp()))
        return int(self.unit.run(old).rowcount)
