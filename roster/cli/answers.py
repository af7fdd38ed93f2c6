"""How every command answers: one JSON object or plain lines, and the exit code."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

import click

from roster.domain.reasons import Reason
from roster.words import say

json_flag = click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")


def plain(value: Any) -> Any:
    """A value as JSON has it: days and instants as ISO text."""
    if isinstance(value, date | datetime):
        return value.isoformat()
    return str(value)


def reason_object(reason: Reason) -> dict[str, Any]:
    """One reason as the JSON answers carry it."""
    said = say(reason)
    return {"code": reason.code, "text": said.text, "remedy": said.remedy, "rule": said.rule,
            "source": said.source}  # fmt: skip


def answer(
    yes: bool | None,
    result: Any,
    *,
    reasons: Iterable[Reason] = (),
    lines: Iterable[str] = (),
    as_json: bool = False,
) -> int:
    """Print the answer and give the exit code: 0 yes or done, 1 a considered no."""
    told = [reason_object(r) for r in reasons]
    if as_json:
        word = None if yes is None else ("yes" if yes else "no")
        click.echo(json.dumps({"answer": word, "result": result, "reasons": told}, default=plain))
    else:
        for line in lines:
            click.echo(line)
        for one in told:
            click.echo(f"- {one['text']} {one['remedy'] or ''}".rstrip())
    return 1 if yes is False else 0
