"""Seed Muster: staffing of volunteer seed-collecting events.

Importing this package loads nothing else, so that `roster.domain` can be used without Flask.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from roster.config import Config


def create_app(config: Config | None = None) -> Flask:
    """The web application, wired and logging: what a server runs (`roster:create_app()`)."""
    import sys

    from roster import logs
    from roster.app import create_app as wired
    from roster.app import refuse_old_schema

    app = wired(config)
    refuse_old_schema(app)
    logs.to_stream(app.extensions["roster"].config.log_level, sys.stdout)
    return app
