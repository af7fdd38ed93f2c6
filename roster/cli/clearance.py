"""`cleared PERSON`: the verdict with its reasons; `rebuild`: the interval table anew."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag
from roster.cli.values import a_day
from roster.domain.people import Role, system
from roster.services import clearance, day_tables, frame
from roster.words import formats, word


@click.command("cleared")
@click.argument("person")
@click.option("--role", type=click.Choice([r.value for r in Role]), required=True)
@click.option("--on", required=True, help="The day asked about, as 2027-06-20.")
@click.option("--known", help="By what was on record at the end of this day.")
@json_flag
@with_appcontext
def cleared(person: str, role: str, on: str, known: str | None, as_json: bool) -> int:
    """Whether PERSON (V123 or a sign-in address) is cleared; exit 1 and every reason if not."""
    day = a_day("on", on)
    known_at = None if known is None else _end_of(known)
    number = clearance.find_person(person)
    found = clearance.cleared(system("cli"), number, Role(role), day, known_at)
    given = found.verdict
    result: dict[str, Any] = {
        "person": f"V{number}", "name": found.name, "role": role, "on": day, "known_at": known_at,
        "until": given.until, "next_steps": [s.code for s in given.next_steps],
    }  # fmt: skip
    lines = [_line(found)]
    return answer(given.yes, result, reasons=given.reasons, lines=lines, as_json=as_json)


def _line(found: clearance.Answer) -> str:
    given = found.verdict
    what = f"cleared {word('to_do', found.role)} on {formats.day(found.day)}"
    if not given.yes:
        return f"{found.name}: not {what}."
    last = f"last valid day {formats.day(given.until)}" if given.until else "no end is set"
    return f"{found.name}: {what}; {last}."


def _end_of(known: str) -> datetime:
    day = a_day("known", known)
    zone = ZoneInfo(frame.now().time_zone or "UTC")
    return datetime.combine(day + timedelta(days=1), time(), zone).astimezone(UTC) - timedelta(
        microseconds=1
    )


@click.command("rebuild")
@json_flag
@with_appcontext
def rebuild(as_json: bool) -> int:
    """Work out anew who is cleared when, who is busy when, and every event's summary."""
    rows = clearance.rebuild(system("cli"))
    people, events = day_tables.rebuild(system("cli"))
    result = {"held": rows, "busy": people, "event_summary": events}
    lines = [f"{rows} rows of clearance, busy days of {people} people, {events} events"]
    return answer(True, result, lines=lines, as_json=as_json)


COMMANDS = [cleared, rebuild]
