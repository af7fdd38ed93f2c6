"""How connections begin: SQLite's own BEGIN, read-only reads, and the queue of its writers."""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, event

from roster import logs

WRITE = "roster_write"


def prepare(engine: Engine) -> None:
    """Hook an engine so that reads cannot write and SQLite writers begin IMMEDIATE."""
    event.listen(engine, "before_cursor_execute", _count)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _sqlite_connect)
        event.listen(engine, "begin", _sqlite_begin)
    else:
        event.listen(engine, "begin", _postgres_begin)


def _count(*_what: Any) -> None:
    logs.count_statement()


def _sqlite_connect(connection: Any, _record: Any) -> None:
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA busy_timeout=20000")
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


def _sqlite_begin(connection: Connection) -> None:
    writes = bool(connection.get_execution_options().get(WRITE))
    if connection.info.get(WRITE) is not writes:  # the pragma stays with the connection
        connection.exec_driver_sql(f"PRAGMA query_only={0 if writes else 1}")
        connection.info[WRITE] = writes
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _postgres_begin(connection: Connection) -> None:
    if not connection.get_execution_options().get(WRITE):
        connection.exec_driver_sql("SET TRANSACTION READ ONLY")


@contextmanager
def writers_queue(engine: Engine) -> Iterator[None]:
    """Queue SQLite's writers on a side file: its own busy handler polls and starves some.

    The kernel drops the lock when the process dies. Nothing may be forked while it is held.
    """
    if engine.dialect.name != "sqlite" or not engine.url.database:
        yield
        return
    with Path(engine.url.database + ".lock").open("a") as side:
        fcntl.flock(side, fcntl.LOCK_EX)
        yield
