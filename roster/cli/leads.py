"""`leads EVENT`: who can be asked to lead, best first, with reasons for and against."""

from __future__ import annotations

from typing import Any

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag, reason_object
from roster.domain.matching import Match
from roster.domain.people import Role, system
from roster.services import lead_ranking
from roster.services.leads import ASKABLE_ROLES
from roster.words import say


@click.command("leads")
@click.argument("event", type=click.IntRange(min=1))
@click.option("--limit", type=click.IntRange(1, 200), default=50, help="At most so many.")
@click.option("--role", type=click.Choice([str(r) for r in ASKABLE_ROLES]), default=str(Role.LEAD))
@json_flag
@with_appcontext
def leads(event: int, limit: int, role: str, as_json: bool) -> int:
    """Who can be asked to lead EVENT (a number); exit 1 if nobody can."""
    found = lead_ranking.ranked(system("cli"), event, limit, role)
    result: dict[str, Any] = {
        "event": event,
        "day": found.event.day,
        "role": role,
        "leads": [_as_object(place, m) for place, m in enumerate(found.matches, 1)],
        "left_out": {str(rung): n for rung, n in found.left_out.items()},
        "not_cleared": found.not_cleared,
        "distance": "as the crow flies" if found.as_crow_flies else "drive minutes of the site",
    }
    lines = [_line(place, m) for place, m in enumerate(found.matches, 1)]
    return answer(bool(found.matches), result, reasons=found.ladder, lines=lines, as_json=as_json)


def _as_object(place: int, match: Match) -> dict[str, Any]:
    c = match.candidate
    return {
        "rank": place,
        "person": f"V{c.person}",
        "name": c.name,
        "km": list(c.km_band) if c.km_band else None,
        "minutes": c.about_minutes,
        "load": c.load,
        "per_month": c.per_month,
        "for": [reason_object(r) for r in match.for_],
        "against": [reason_object(r) for r in match.against],
    }


def _line(place: int, match: Match) -> str:
    c = match.candidate
    way = f"about {c.about_minutes} min" if c.about_minutes is not None else "home not known"
    pro = "".join(f" + {say(r).text}" for r in match.for_)
    con = "".join(f" - {say(r).text}" for r in match.against)
    return f"{place}. {c.name} (V{c.person}), {way}{pro}{con}"


COMMANDS = [leads]
