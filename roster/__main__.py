"""`python -m roster COMMAND`: exit 0 yes or done, 1 a considered no, 2 bad input, 3 a fault."""

from __future__ import annotations

import json
import logging
import sys
import uuid
from collections.abc import Sequence
from typing import Any

import click
from flask.cli import FlaskGroup

from roster import create_app
from roster.config import ConfigError
from roster.domain.errors import BadInput, Conflict, NotAllowed, RuleBroken
from roster.domain.reasons import Reason
from roster.words import say

# Commands that need no setting and no database: module -> name of its click command.
STANDALONE: dict[str, str] = {"plan": "roster.cli.plan", "bench": "roster.cli.measure",
                              "drill": "roster.cli.measure"}  # fmt: skip


class Commands(FlaskGroup):
    """Flask's commands and ours; a few are answered without making the application."""

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
            create_app_checked(ctx)
        except ConfigError as error:
            raise _Refused(error.name, error.value, str(error), error.remedy) from error
        return super().get_command(ctx, name)


class _Refused(click.ClickException):
    exit_code = 2

    def __init__(self, field: str, value: Any, text: str, remedy: str | None) -> None:
        self.field, self.value, self.remedy = field, value, remedy
        super().__init__(text)


def create_app_checked(ctx: click.Context) -> None:
    """Make the application now, so that a bad setting is said before anything runs."""
    from flask.cli import ScriptInfo

    ctx.ensure_object(ScriptInfo).load_app()


group = Commands(name="roster", create_app=lambda: create_app(), add_version_option=False)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    as_json = "--json" in words
    try:
        done = group.main(args=words, prog_name="python -m roster", standalone_mode=False)
        return done if isinstance(done, int) else 0
    except _Refused as error:
        return _tell(as_json, error.field, error.value, error.message, error.remedy)
    except click.UsageError as error:
        name = getattr(getattr(error, "param", None), "name", None) or "command"
        return _tell(as_json, name, None, error.format_message(), "See --help.")
    except click.ClickException as error:
        return _tell(as_json, "command", None, error.format_message(), None)
    except click.Abort:
        return _tell(as_json, "command", None, "Stopped.", None)
    except ConfigError as error:
        return _tell(as_json, error.name, error.value, str(error), error.remedy)
    except BadInput as error:
        return _tell(as_json, error.field, error.value, *_said(error.reason))
    except RuleBroken as error:
        return _no(as_json, error.reasons)
    except Conflict as error:
        return _no(as_json, [error.reason])
    except NotAllowed as error:
        return _no(as_json, [Reason("not_allowed")], str(error))
    except Exception:
        number = uuid.uuid4().hex[:12]
        logging.getLogger("roster").exception("command failed", extra={"request_id": number})
        click.echo(f"Something failed on our side; the log calls it {number}.", err=True)
        return 3


def _said(reason: Reason) -> tuple[str, str | None]:
    said = say(reason)
    return said.text, said.remedy


def _tell(as_json: bool, field: str, value: Any, text: str, remedy: str | None) -> int:
    if as_json:
        told = {"field": field, "value": value, "text": text, "remedy": remedy}
        click.echo(json.dumps({"error": told}, default=str), err=True)
    else:
        click.echo(f"{text} {remedy or ''}".rstrip(), err=True)
    return 2


def _no(as_json: bool, reasons: Sequence[Reason], detail: str = "") -> int:
    from roster.cli.answers import answer

    return answer(False, detail or None, reasons=reasons, as_json=as_json)


if __name__ == "__main__":
    sys.exit(main())
