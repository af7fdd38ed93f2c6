"""`python -m roster COMMAND`: exit 0 yes or done, 1 a considered no, 2 bad input, 3 a fault."""

from __future__ import annotations

import json
import logging
import os
import sys
import uuid
from collections.abc import Sequence
from typing import Any

import click
from flask import Flask
from flask.cli import FlaskGroup

from roster import logs
from roster.config import ROOT, ConfigError
from roster.domain.errors import BadInput, Conflict, NotAllowed, RuleBroken
from roster.domain.reasons import Reason
from roster.words import say

# Commands that need no setting and no database: module -> name of its click command.
STANDALONE: dict[str, str] = {"plan": "roster.cli.plan", "bench": "roster.measure.commands",
                              "drill": "roster.measure.commands"}  # fmt: skip


# Commands that serve, and so need a database at head in production.
SERVING = ("run", "jobs")


class Commands(FlaskGroup):
    """Flask's commands and ours; a few are answered without making the application."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, those answered without an application too."""
        return sorted({*super().list_commands(ctx), *STANDALONE})

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """The command of that name."""
        if name in STANDALONE:
            from importlib import import_module

            try:
                module = import_module(STANDALONE[name])
            except ModuleNotFoundError:
                return None
            found: click.Command = getattr(module, name)
            return found
        try:
            made = create_app_checked(ctx)
            if name in SERVING:
                from roster.app import refuse_old_schema

                refuse_old_schema(made)
        except ConfigError as error:
            text = f"{error.name}={error.value!r} cannot be used."
            raise _Refused(error.name, error.value, text, error.remedy) from error
        if name == "db":
            from roster.store import migrating

            migrating.wire(made)
        return super().get_command(ctx, name)


class _Refused(click.ClickException):
    exit_code = 2

    def __init__(self, field: str, value: Any, text: str, remedy: str | None) -> None:
        self.field, self.value, self.remedy = field, value, remedy
        super().__init__(text)


def create_app_checked(ctx: click.Context) -> Flask:
    """Make the application now, so that a bad setting is said before anything runs."""
    from flask.cli import ScriptInfo

    return ctx.ensure_object(ScriptInfo).load_app()


def _application() -> Flask:
    from roster.app import create_app

    return create_app()


group = Commands(name="roster", create_app=_application, add_version_option=False)


def _log(words: Sequence[str]) -> None:
    """Processes that go on log to standard output; the output of other commands is their answer."""
    level = os.environ.get("ROSTER_LOG_LEVEL", "INFO").upper()
    level = level if level in ("DEBUG", "INFO", "WARNING", "ERROR") else "INFO"
    if words[:1] == ["run"] or (words[:2] == ["jobs", "run"] and "--once" not in words):
        logs.to_stream(level, sys.stdout)
    else:
        logs.to_file(level, ROOT / "instance" / "commands.log")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    _log(words)
    try:
        done = group.main(args=words, prog_name="python -m roster", standalone_mode=False)
        return done if isinstance(done, int) else 0
    except (click.ClickException, click.Abort, ConfigError, BadInput) as error:
        return _refuse("--json" in words, error)
    except (RuleBroken, Conflict, NotAllowed) as error:
        return _no("--json" in words, error)
    except Exception:
        number = uuid.uuid4().hex[:12]
        logging.getLogger("roster").exception("command failed", extra={"request_id": number})
        click.echo(f"Something failed on our side; the log calls it {number}.", err=True)
        return 3


def _told(error: Exception) -> tuple[str, Any, str, str | None]:
    """Field, value, text and remedy of an error that the user can mend."""
    if isinstance(error, BadInput):
        said = say(error.reason)
        return error.field, error.value, said.text, said.remedy
    if isinstance(error, ConfigError):
        return (
            error.name,
            error.value,
            f"{error.name}={error.value!r} cannot be used.",
            error.remedy,
        )
    if isinstance(error, _Refused):
        return error.field, error.value, error.message, error.remedy
    if isinstance(error, click.UsageError):
        field = getattr(getattr(error, "param", None), "name", None) or "command"
        text = " ".join(error.format_message().split())
        return field, None, text if text.endswith(".") else f"{text}.", "See --help."
    text = error.format_message() if isinstance(error, click.ClickException) else "Stopped."
    return "command", None, text, None


def _refuse(as_json: bool, error: Exception) -> int:
    field, value, text, remedy = _told(error)
    if as_json:
        told = {"field": field, "value": value, "text": text, "remedy": remedy}
        click.echo(json.dumps({"error": told}, default=str), err=True)
    else:
        click.echo(f"{text} {remedy or ''}".rstrip(), err=True)
    return 2


def _no(as_json: bool, error: RuleBroken | Conflict | NotAllowed) -> int:
    from roster.cli.answers import answer

    if isinstance(error, RuleBroken):
        return answer(False, None, reasons=error.reasons, as_json=as_json)
    if isinstance(error, Conflict):
        return answer(False, None, reasons=[error.reason], as_json=as_json)
    return answer(False, str(error), reasons=[Reason("not_allowed")], as_json=as_json)


if __name__ == "__main__":
    sys.exit(main())
