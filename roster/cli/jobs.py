"""`jobs run`, `jobs list`, `jobs retry`: the worker and what became of its slots and mail."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import click
from flask import current_app
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag
from roster.domain.errors import BadInput
from roster.domain.people import system
from roster.domain.reasons import Reason
from roster.services import jobs as slots
from roster.services import messages
from roster.store.wiring import wiring


@click.group("jobs")
def jobs() -> None:
    """The worker that sends mail, reminds, and keeps feeds ready."""


@jobs.command("run")
@click.option("--once", is_flag=True, help="One pass over what is due, then end.")
@click.option(
    "--at", "at", metavar="INSTANT", help="As if it were that instant, 2027-06-16T15:00Z."
)
@json_flag
@with_appcontext
def run(once: bool, at: str | None, as_json: bool) -> int:
    """Do what is due: reminders, mail, feeds. Without --once, until stopped."""
    worker = current_app.extensions["roster_jobs"]
    if not once and at is None:
        worker.forever()
        return 0
    lines = worker.once(None if at is None else _instant(at))
    return answer(None, {"lines": lines}, lines=lines, as_json=as_json)


def _instant(text: str) -> datetime:
    if not wiring().config.development:
        raise BadInput("at", text, Reason("only_in_development", {"option": "--at"}))
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput("at", text, Reason("bad_instant", {"value": text})) from None
    return at.astimezone(UTC) if at.tzinfo else at.replace(tzinfo=UTC)


@jobs.command("list")
@click.option("--limit", default=50, show_default=True, type=click.IntRange(1, 1000))
@json_flag
@with_appcontext
def listing(limit: int, as_json: bool) -> int:
    """Job slots and messages, those that need a look first."""
    rows = slots.listing(limit)
    troubled = messages.page(None, limit, ("failed", "unknown"))
    result: dict[str, Any] = {
        "slots": [{"job": r.job, "slot": r.slot, "state": r.state, "tries": r.tries,
                   "said": r.said, "done_at": r.done_at} for r in rows],
        "messages": [{"number": m.id, "kind": m.kind, "state": m.state, "tries": m.tries,
                      "said": m.said} for m in troubled],
        "counts": {"slots": slots.counts(), "messages": messages.counts()},
        "heartbeat_age_seconds": slots.heartbeat_age_seconds(),
    }  # fmt: skip
    lines = [f"{r.state:8} {r.job} | {r.slot} | {r.said or ''}" for r in rows]
    lines += [f"{m.state:8} message {m.id} | {m.kind} | {m.said or ''}" for m in troubled]
    told = ", ".join(f"{n} {state}" for state, n in sorted(messages.counts().items()))
    lines.append(f"messages: {told or 'none'}")
    return answer(None, result, lines=lines, as_json=as_json)


@jobs.command("retry")
@click.argument("what", metavar="MESSAGE|JOB")
@click.argument("slot", required=False)
@json_flag
@with_appcontext
def retry(what: str, slot: str | None, as_json: bool) -> int:
    """Try again: a message by its number, or a job by its name and slot."""
    if slot is None:
        if not (what.isascii() and what.isdigit() and len(what) < 19):
            raise BadInput("message", what, Reason("bad_number", {"value": what}))
        messages.retry(system("cli"), int(what))
    else:
        slots.retry(system("cli"), what, slot)
    line = f"{what} {slot or ''}".strip() + " will be tried again"
    return answer(True, {"retried": what, "slot": slot}, lines=[line], as_json=as_json)


COMMANDS = [jobs]
