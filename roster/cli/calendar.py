"""`feed`: the bytes of a calendar, as its private address would give them."""

from __future__ import annotations

import sys

import click
from flask.cli import with_appcontext

from roster.domain.errors import BadInput
from roster.domain.people import system
from roster.domain.reasons import Reason
from roster.services import feeds


@click.command("feed")
@click.argument("person", required=False)
@click.option("--region", metavar="R", help="The calendar of a region, by its code.")
@click.option("--public", is_flag=True, help="The calendar that anybody may read.")
@with_appcontext
def feed(person: str | None, region: str | None, public: bool) -> int:
    """Print the calendar of PERSON (V123 or an address), of a region, or the public one."""
    if [person is not None, region is not None, public].count(True) != 1:
        given = " ".join(part for part in (person, region) if part)
        raise BadInput("feed", given, Reason("one_calendar"))
    actor = system("cli")
    if public:
        content = feeds.public_bytes()
    elif region is not None:
        content = feeds.region_bytes(actor, region)
    else:
        content = feeds.person_bytes(actor, person or "")
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()
    return 0


COMMANDS = [feed]
