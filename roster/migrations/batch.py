"""Batch changes that keep what SQLite's rebuild of a table would lose: CHECKs, AUTOINCREMENT."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from alembic import op
from alembic.operations.base import BatchOperations
from sqlalchemy import CheckConstraint, inspect, text


@contextmanager
def changed(table: str) -> Iterator[BatchOperations]:
    """`with changed("person") as t: t.add_column(...)`; guards are made again by env.py."""
    bind = op.get_bind()
    if bind.dialect.name != "sqlite":
        with op.batch_alter_table(table) as batch:
            yield batch
        return
    checks = tuple(
        CheckConstraint(text(c["sqltext"]), name=op.f(str(c["name"])))
        for c in inspect(bind).get_check_constraints(table)
        if c["name"]
    )
    has_number = any(c["name"] == "id" for c in inspect(bind).get_columns(table))
    with op.batch_alter_table(
        table, table_args=checks, table_kwargs={"sqlite_autoincrement": has_number}
    ) as batch:
        yield batch
