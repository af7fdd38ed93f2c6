"""Which revision the database has, which it should have, and the way there."""

from __future__ import annotations

from pathlib import Path

from flask import Flask, current_app
from sqlalchemy import inspect, text

from roster.store import guards
from roster.store.base import db

FOLDER = Path(__file__).resolve().parent.parent / "migrations"


def revision() -> str | None:
    """The revision that the database stands at; None before the first."""
    with db.engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        return None if found is None else str(found)


def head() -> str:
    """The newest revision that this release knows."""
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    settings = Config()
    settings.set_main_option("script_location", str(FOLDER))
    return ScriptDirectory.from_config(settings).get_current_head() or ""


def wire(app: Flask | None = None) -> None:
    """Ready the application for migrations; they are loaded now, since few starts need them."""
    from flask_migrate import Migrate

    made: Flask = app or current_app._get_current_object()  # type: ignore[attr-defined]
    if "migrate" not in made.extensions:
        Migrate(made, db, directory=str(FOLDER), render_as_batch=True, compare_type=True)


def upgrade(to: str = "head") -> None:
    """Run the migrations that are missing; guards are made again by each run."""
    from flask_migrate import upgrade as migrate

    wire()
    migrate(directory=str(FOLDER), revision=to)


def guards_missing() -> set[str]:
    """Guards that should stand and do not."""
    with db.engine.connect() as connection:
        return guards.expected() - guards.names(connection)
