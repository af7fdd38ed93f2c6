"""The one place where floors meet: settings, database, pages, errors, commands."""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path
from typing import Any

from flask import Flask

import roster.store.models  # noqa: F401 - fills the metadata
from roster import config as settings
from roster.cli import COMMAND_MODULES
from roster.config import Config, ConfigError
from roster.jobs import wire as wire_jobs
from roster.services.clock import MachineClock
from roster.store import migrating
from roster.store.base import db
from roster.store.engine import prepare
from roster.store.wiring import Clock, Wiring
from roster.web import wire


def create_app(config: Config | None = None, clock: Clock | None = None) -> Flask:
    """The service, wired. Raises ConfigError naming the first setting that cannot be used."""
    config = config or settings.read()
    app = Flask("roster", root_path=str(settings.ROOT / "roster"),
                template_folder=str(settings.ROOT / "templates"),
                static_folder=str(settings.ROOT / "roster" / "static"),
                instance_path=str(config.instance))  # fmt: skip
    app.config.update(_flask_settings(config))
    app.extensions["roster"] = Wiring(config, clock or MachineClock(config.today))
    _database(app, config)
    wire(app, config)
    wire_jobs(app)
    for name in COMMAND_MODULES:
        for command in import_module(name).COMMANDS:
            app.cli.add_command(command)
    return app


def refuse_old_schema(app: Flask) -> None:
    """In production, serve nothing from a database that this release does not fit.

    Commands go on: `upgrade` is one of them. Raises ConfigError with the remedy.
    """
    if app.extensions["roster"].config.development:
        return
    with app.app_context():
        there, wanted = migrating.revision(), migrating.head()
    if there != wanted:
        remedy = f"Run python -m roster upgrade: this release needs schema {wanted}."
        raise ConfigError("ROSTER_DATABASE_URL", f"schema {there or 'nothing'}", remedy)


def context() -> Any:
    """An application context for jobs, drills and child processes."""
    return create_app().app_context()


def _flask_settings(config: Config) -> dict[str, Any]:
    return {
        "SECRET_KEY": config.secret_key,
        "SQLALCHEMY_DATABASE_URI": config.database_url,
        "SQLALCHEMY_ENGINE_OPTIONS": {"pool_pre_ping": config.database_url.startswith("postgres")},
        "MAX_CONTENT_LENGTH": 12 * 1024 * 1024,
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SAMESITE": "Lax",
        "SESSION_COOKIE_SECURE": not config.development,
        "WTF_CSRF_TIME_LIMIT": None,
        "WTF_CSRF_SSL_STRICT": not config.development,
    }


def _database(app: Flask, config: Config) -> None:
    if config.database_url.startswith("sqlite:///"):
        folder = Path(config.database_url.removeprefix("sqlite:///")).parent
        if not folder.is_dir() or not os.access(folder, os.W_OK):
            remedy = f"Make the folder {folder} and let this user write there."
            raise ConfigError("ROSTER_DATABASE_URL", config.database_url, remedy)
    db.init_app(app)
    with app.app_context():
        prepare(db.engine)
