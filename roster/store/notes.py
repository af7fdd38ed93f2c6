"""The only writes of a GET, each on a connection of its own: rates, last-used times, refusals."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Connection

from roster.store.base import db
from roster.store.engine import WRITE, writers_queue


def note(body: Callable[[Connection], None]) -> None:
    """Run one small statement beside the request's own reading."""
    engine = db.engine
    with writers_queue(engine), engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            body(connection)
