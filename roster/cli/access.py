"""Development only: the ways in that `make demo` prints."""

from __future__ import annotations

import json

import click
from flask.cli import with_appcontext

from roster.services.enter import enter_codes


@click.command("enter-codes", hidden=True)
@with_appcontext
def codes() -> None:
    """Print role, name and path of a way in for each of four people, as JSON."""
    found = [{"role": c.role, "name": c.name, "path": c.path} for c in enter_codes()]
    click.echo(json.dumps(found))


COMMANDS = [codes]
