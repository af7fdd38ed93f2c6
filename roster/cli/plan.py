"""`python -m roster plan solve`: the season planner alone; needs no setting and no database."""

from __future__ import annotations

import gc
import json
import os
import sys
from pathlib import Path
from typing import Any

import click

from roster.cli.answers import json_flag
from roster.planning.fields import TWICE, Malformed
from roster.planning.problem import Limits, Plan, Problem
from roster.planning.reading import read_problem

MOST_BYTES = 400_000_000
MOST_OBJECTS = 1_000_000
"""Larger files are refused unread: 20,000 populations take about 30 MB and 100,000 objects."""

GAP = "Stop when no plan can be better by more than this share of the value."
NODES = "Branching nodes; a run that time does not cut can then be repeated."


@click.group()
def plan() -> None:
    """The season plan."""


@plan.command()
@click.argument("problem", type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="File for the answer.")
@click.option("--seconds", type=click.FloatRange(0, 86_400), default=60.0, show_default=True)
@click.option("--gap", type=click.FloatRange(0, 1e9), default=0.0, help=GAP)
@click.option("--nodes", type=click.IntRange(0, 2**31 - 1), default=None, help=NODES)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=0, show_default=True)
@json_flag
def solve(problem: Path, out: Path, as_json: bool, **limits: Any) -> int:
    """Plan the season that PROBLEM (JSON, roster-plan-1) states."""
    try:
        stated = read_problem(_document(problem))
        _writable(out)
    except Malformed as error:
        return _refuse(error, as_json)
    from roster.planning.solve import solve as best_season

    found = best_season(stated, Limits(**limits))
    document = found.to_document()
    text = json.dumps(document, allow_nan=False)
    beside = out.with_name(out.name + ".part")
    beside.write_text(text, encoding="utf-8")
    beside.replace(out)
    if as_json:
        click.echo(json.dumps({"answer": "yes", "result": document, "reasons": []}))
    else:
        for line in lines(found, stated):
            click.echo(line)
    _leave()
    return 0


def _leave() -> None:
    """End the program at once if a lane is still deep in the solver: it could not end cleanly."""
    from roster.planning.lanes import lingering

    if lingering(seconds=1.0):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(0)


def _document(path: Path) -> object:
    """The file as JSON; a field given twice leaves its name, for the error to say where."""
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise Malformed("", size, "bytes are too many", "Plan a larger season in parts.")
        raw = path.read_bytes()
    except OSError as error:
        said = f"cannot be read ({error.strerror})"
        raise Malformed("PROBLEM", str(path), said, "Name a file that can be read.") from error
    objects = raw.count(b"{")
    if objects > MOST_OBJECTS:
        remedy = f"A file may hold {MOST_OBJECTS:,} objects; plan a larger season in parts."
        raise Malformed("", objects, "objects are too many", remedy)
    gc.disable()
    try:
        return json.loads(raw, object_pairs_hook=_fields)
    except (ValueError, RecursionError) as error:
        said = f"is no JSON ({error})"
        raise Malformed("PROBLEM", str(path), said, "Give one JSON object.") from error
    finally:
        gc.enable()


def _fields(pairs: list[tuple[str, object]]) -> dict[str, object]:
    held = dict(pairs)
    if len(held) < len(pairs):
        names = [name for name, _ in pairs]
        held[TWICE] = next(name for name in names if names.count(name) > 1)
    return held


def _writable(out: Path) -> None:
    if out.is_dir() or not out.parent.is_dir():
        remedy = "Name a file in a folder that is there."
        raise Malformed("--out", str(out), "cannot be written", remedy)


def _refuse(error: Malformed, as_json: bool) -> int:
    if as_json:
        value = error.value if isinstance(error.value, str | int | bool | None) else str(error)
        told = {"field": error.path, "value": value, "text": str(error), "remedy": error.remedy}
        click.echo(json.dumps({"error": told}), err=True)
    else:
        click.echo(f"{error} {error.remedy}", err=True)
    return 2


def lines(found: Plan, stated: Problem) -> list[str]:
    """The plan in a few plain sentences."""
    more = "nothing is proven about a better one"
    if found.gap is not None:
        more = f"at most {100 * found.gap:.2f} % better is possible"
    served = len({e.population for e in found.events})
    told = [
        f"{len(found.events)} events for {served} of {len(stated.populations)} populations.",
        f"Value {found.value:.3f}; {more} ({found.bound_from}; stopped by: {found.stopped_by}, "
        f"{found.seconds:.1f} s).",
    ]
    if found.frozen_breaks_rule:
        told.append(f"{len(found.frozen_breaks_rule)} promises on frozen days break a rule.")
    return told
