"""`python -m roster bench` and `drill`: figures on standard output, exit 1 if any misses."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from importlib import import_module

import click

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason
from roster.measure.lines import Line

# name -> (module with `lines(rounds)`, rounds when nothing is said)
DRILLS = {"race": ("roster.measure.race", 50), "kill": ("roster.measure.kill", 500)}
# name -> module with `lines(people)`
BENCHES = {
    "start": "roster.measure.start",
    "signup": "roster.measure.signup",
    "leads": "roster.measure.leads",
    "rebuild": "roster.measure.rebuild",
    "page": "roster.measure.page",
    "feed": "roster.measure.feed",
    "import": "roster.measure.import_people",
    "risk": "roster.measure.risk",
}


def _run(found: Iterable[Line]) -> int:
    code = 0
    for line in found:
        click.echo(str(line))
        code = max(code, int(line.verdict != "PASS"))
    return code


def _named(only: str | None, names: Iterable[str]) -> list[str]:
    known = list(names)
    if only is None:
        return known
    if only not in known:
        raise BadInput("--only", only, Reason("unknown_measure", {"known": ", ".join(known)}))
    return [only]


def _lines(module: str) -> Callable[[int], Iterable[Line]]:
    found: Callable[[int], Iterable[Line]] = import_module(module).lines
    return found


@click.command()
@click.option("--only", metavar="NAME", help="One drill by name.")
@click.option("--rounds", type=click.IntRange(1), help="How many rounds or kills.")
def drill(only: str | None, rounds: int | None) -> int:
    """Races and kills at length, on SQLite and (ROSTER_TEST_POSTGRES) PostgreSQL."""
    code = 0
    if not os.environ.get("ROSTER_TEST_POSTGRES"):
        click.echo(
            "PostgreSQL is left out: set ROSTER_TEST_POSTGRES to a server's address.", err=True
        )
    for name in _named(only, DRILLS):
        module, usual = DRILLS[name]
        code = max(code, _run(_lines(module)(rounds or usual)))
    return code


@click.command()
@click.option("--only", metavar="NAME", help="One bench by name.")
@click.option("--people", type=click.IntRange(100), default=10_000, help="Size of the programme.")
def bench(only: str | None, people: int) -> int:
    """Speed and memory as ratios measured side by side in one run."""
    code = 0
    for name in _named(only, BENCHES):
        code = max(code, _run(_lines(BENCHES[name])(people)))
    return code
