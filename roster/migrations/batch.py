"""Batch changes that keep what SQLite's table rebuild would lose: AUTOINCREMENT."""

from contextlib import contextmanager

from alembic import op


@contextmanager
def changed(table: str):
    """`with changed("person") as t: t.add_column(...)`; guards are made again by env.py."""
    options = {"sqlite_autoincrement": True}
    with op.batch_alter_table(table, table_kwargs=options) as batch:
        yield batch
