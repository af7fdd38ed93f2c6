"""`check EVENT`: the crew check of an event."""

from __future__ import annotations

from typing import Any

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag
from roster.domain.people import system
from roster.domain.reasons import Finding
from roster.services import crewcheck
from roster.words import say, word


@click.command("check")
@click.argument("event", type=click.IntRange(min=1))
@json_flag
@with_appcontext
def check(event: int, as_json: bool) -> int:
    """Print the findings of the crew check of EVENT; exit 1 if any says stop."""
    found = crewcheck.check(system("cli"), event)
    zone = found.event.time_zone
    result = {
        "event": event,
        "stage": found.event.stage,
        "day": found.event.day,
        "minimum": found.minimum,
        "adults": found.adults,
        "findings": [_plain(f, zone) for f in found.findings],
    }
    lines = [f"{found.event.title}, {found.event.day}: {found.adults} of {found.minimum}"]
    lines += [_line(f, zone) for f in found.findings]
    stops = [f.reason for f in found.stops] if as_json else []
    return answer(not found.stops, result, reasons=stops, lines=lines, as_json=as_json)


def _plain(finding: Finding, zone: str) -> dict[str, Any]:
    said = say(finding.reason, time_zone=zone)
    return {"level": finding.level.value, "code": finding.reason.code, "text": said.text,
            "remedy": said.remedy, "rule": said.rule, "source": said.source}  # fmt: skip


def _line(finding: Finding, zone: str) -> str:
    said = say(finding.reason, time_zone=zone)
    return f"{word('level', finding.level)}: {said.text} {said.remedy or ''}".rstrip()


COMMANDS = [check]
