"""A batch migration over every table, with rows in every table: no row, guard or rule is lost."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from flask_migrate import upgrade
from sqlalchemy import inspect, select, text

from roster.store import dump, guards, migrating
from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.rows import fill
from tests.support.wrong_rows import accepted_by_checks, accepted_by_uniques

MIGRATION = """
from sqlalchemy import inspect
from alembic import op
from roster.migrations.batch import changed

revision = "9999"
down_revision = "{head}"


def upgrade():
    for name in sorted(inspect(op.get_bind()).get_table_names()):
        if name != "alembic_version":
            with changed(name) as table:
                table.create_check_constraint("of_the_test", "1 = 1")
"""


def writing() -> Any:
    return db.engine.connect().execution_options(**{WRITE: True})


@pytest.fixture
def migrations(both: Any, tmp_path: Path) -> Path:
    folder = tmp_path / "migrations"
    shutil.copytree(migrating.FOLDER, folder)
    (folder / "versions" / "9999_test.py").write_text(MIGRATION.format(head=migrating.head()))
    return folder


def rows() -> dict[str, list[tuple[Any, ...]]]:
    with db.engine.connect() as connection:
        return {t.name: [tuple(r) for r in connection.execute(select(t))] for t in dump.tables()}


@pytest.fixture
def undone(both: Any) -> Any:
    yield
    if db.engine.dialect.name == "postgresql":  # the database is used again by other tests
        with writing() as connection, connection.begin():
            for table in dump.tables():
                connection.execute(
                    text(
                        f'ALTER TABLE "{table.name}" DROP CONSTRAINT "ck_{table.name}_of_the_test"'
                    )
                )
            connection.execute(text("UPDATE alembic_version SET version_num = :v"),
                               {"v": migrating.head()})  # fmt: skip


@pytest.mark.usefixtures("undone")
def test_a_batch_migration_keeps_rows_guards_checks_keys_and_numbers(migrations: Path) -> None:
    with writing() as connection, connection.begin():
        fill(connection)
    before = rows()
    assert all(before.values())

    migrating.wire()
    upgrade(directory=str(migrations))

    assert rows() == before
    assert migrating.revision() == "9999"
    with writing() as connection, connection.begin() as whole:
        assert guards.names(connection) == guards.expected()
        checks = {c["name"] for c in inspect(connection).get_check_constraints("person")}
        assert "ck_person_of_the_test" in checks
        assert accepted_by_checks(connection) == []
        assert accepted_by_uniques(connection) == []
        whole.rollback()
    if db.engine.dialect.name == "sqlite":
        with db.engine.connect() as connection:
            made = dict(connection.execute(text("SELECT name, sql FROM sqlite_master")).all())
            assert [t.name for t in dump.tables() if t.dialect_options["sqlite"]["autoincrement"]
                    and "AUTOINCREMENT" not in made[t.name]] == []  # fmt: skip
            assert connection.execute(text("PRAGMA foreign_key_check")).all() == []
            assert connection.execute(text("PRAGMA foreign_keys")).scalar() == 1


def test_migrations_are_numbered_in_a_row() -> None:
    names = sorted(p.name for p in (migrating.FOLDER / "versions").glob("*.py"))
    assert [n[:4] for n in names] == [f"{i:04}" for i in range(1, len(names) + 1)]
    assert migrating.head() == names[-1][:4]
