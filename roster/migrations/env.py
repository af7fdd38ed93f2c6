"""Runs migrations: foreign keys off on SQLite, guards taken away before and made again after."""

from alembic import context
from flask import current_app
from sqlalchemy import Connection, text

import roster.store.models  # noqa: F401 - fills the metadata
from roster.store import guards
from roster.store.base import db
from roster.store.engine import WRITE, writers_queue


def _check_foreign_keys(connection: Connection) -> None:
    broken = connection.execute(text("PRAGMA foreign_key_check")).all()
    if broken:
        raise RuntimeError(f"the migration would leave rows without their parents: {broken[:5]}")


def _foreign_keys(connection: Connection, word: str) -> None:
    """Outside a transaction: inside one SQLite would not listen."""
    raw = connection.connection.dbapi_connection
    if raw is not None:
        raw.cursor().execute(f"PRAGMA foreign_keys={word}")


def run() -> None:
    """Upgrade in one transaction on the database's own connection."""
    engine = db.engine
    sqlite = engine.dialect.name == "sqlite"
    settings = current_app.extensions["migrate"].configure_args
    with writers_queue(engine), engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        if sqlite:
            _foreign_keys(connection, "OFF")
        try:
            with connection.begin():
                context.configure(
                    connection=connection,
                    target_metadata=db.metadata,
                    user_module_prefix="",
                    **settings,
                )
                guards.drop(connection)
                context.run_migrations()
                guards.make(connection)
                if sqlite:
                    _check_foreign_keys(connection)
        finally:
            if sqlite:
                _foreign_keys(connection, "ON")


run()
