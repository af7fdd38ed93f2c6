"""Reads a `roster-plan-1` document strictly: whatever is wrong is said with its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import TypeVar

from roster.planning.fields import (
    Fields,
    Malformed,
    day_ranges,
    items,
    number,
    text,
    whole,
    whole_list,
)
from roster.planning.problem import (
    Cell,
    Person,
    Population,
    Problem,
    Promise,
    Rules,
    Target,
)

__all__ = ["MOST", "Malformed", "read_problem"]

MOST = {"targets": 50_000, "populations": 50_000, "people": 100_000, "crew_cells": 20_000,
        "promised": 50_000}  # fmt: skip
"""Entries that a season may have; a larger one is planned region by region."""

MOST_DAYS = 400
SHARE = (0.0, 1.0)
FORMAT = "roster-plan-1"

T = TypeVar("T")


def read_problem(document: object) -> Problem:
    """The problem that the document states; raises Malformed at the first mistake."""
    top = Fields("", document)
    top.only("format", "first_day", "day_count", "rules", "targets", "populations", "people",
             "crew_cells", optional=("promised",))  # fmt: skip
    if top["format"] != FORMAT:
        raise Malformed("format", top["format"], f"is not {FORMAT}", f'Write "{FORMAT}".')
    lists = {name: items(name, top.get(name, []), most) for name, most in MOST.items()}
    days = whole("day_count", top["day_count"], 1, MOST_DAYS)
    rules = _rules(top["rules"], days)
    targets = _each("targets", lists["targets"], _target)
    populations = _each("populations", lists["populations"], _population(rules))
    people = _each("people", lists["people"], _person)
    cells = _each("crew_cells", lists["crew_cells"], lambda fields: _cell(fields, days))
    promised = _each("promised", lists["promised"], lambda fields: _promise(fields, days))
    for name, found in (("targets", targets), ("populations", populations), ("people", people),
                        ("crew_cells", cells)):  # fmt: skip
        _unique(name, [one.id for one in found])
    _known_targets(populations, targets)
    _known_promises(promised, populations, people)
    return Problem(_first_day(top["first_day"]), days, rules, targets, populations, people, cells,
                   promised)  # fmt: skip


def _each(name: str, values: list[object], read: Callable[[Fields], T]) -> tuple[T, ...]:
    return tuple(read(Fields(f"{name}[{i}]", value)) for i, value in enumerate(values))


def _first_day(value: object) -> date:
    try:
        return date.fromisoformat(text("first_day", value))
    except ValueError as error:
        if isinstance(error, Malformed):
            raise
        remedy = "Write the first day as YYYY-MM-DD."
        raise Malformed("first_day", value, "is not a day of the calendar", remedy) from None


def _rules(value: object, days: int) -> Rules:
    f = Fields("rules", value)
    f.only("ripe_at_least", "spacing_days", "after_target", "after_first", "per_event", "per_km",
           "keep", "frozen_until")  # fmt: skip
    keep = Fields("rules.keep", f["keep"])
    keep.only("day", "lead", "data_collector")
    return Rules(
        ripe_at_least=f.number("ripe_at_least", *SHARE),
        spacing_days=f.whole("spacing_days", 0, MOST_DAYS),
        after_target=f.number("after_target", *SHARE),
        after_first=f.number("after_first", *SHARE),
        per_event=f.number("per_event"),
        per_km=f.number("per_km"),
        keep_day=keep.number("day"),
        keep_lead=keep.number("lead"),
        keep_data_collector=keep.number("data_collector"),
        frozen_until=f.whole("frozen_until", 0, days),
    )


def _target(f: Fields) -> Target:
    f.only("id", "value", "amount")
    return Target(f.text("id"), f.number("value"), f.number("amount"))


def _place(f: Fields) -> tuple[float, float]:
    return f.number("lat", -90, 90), f.number("lon", -180, 180)


def _population(rules: Rules) -> Callable[[Fields], Population]:
    def read(f: Fields) -> Population:
        f.only("id", "lat", "lon", "target", "amount", "visits", "crew", "ripe",
               optional=("spacing_days", "open"))  # fmt: skip
        spacing = rules.spacing_days
        if "spacing_days" in f:
            spacing = f.whole("spacing_days", 0, MOST_DAYS)
        ripe = Fields(f"{f.path}.ripe", f["ripe"])
        ripe.only("from", "share")
        path = f"{ripe.path}.share"
        shares = items(path, ripe["share"], MOST_DAYS)
        return Population(
            f.text("id"), *_place(f), f.text("target"), f.number("amount"),
            f.whole("visits", 0, MOST_DAYS), f.whole("crew", 0, 10_000), spacing,
            day_ranges(f"{f.path}.open", f.get("open", [])), ripe.whole("from", -10_000, 10_000),
            tuple(number(f"{path}[{i}]", s, *SHARE) for i, s in enumerate(shares)),
        )  # fmt: skip

    return read


def _person(f: Fields) -> Person:
    f.only("id", "lat", "lon", "km", "per_month", optional=("free", "lead", "data_collector"))
    days = (day_ranges(f"{f.path}.{k}", f.get(k, [])) for k in ("free", "lead", "data_collector"))
    return Person(
        f.text("id"), *_place(f), f.number("km"), f.whole("per_month", 0, 1000), *days
    )  # fmt: skip


def _cell(f: Fields, days: int) -> Cell:
    f.only("id", "lat", "lon", "km", "people")
    path = f"{f.path}.people"
    people = whole_list(path, f["people"], 1_000_000)
    if len(people) != days:
        remedy = f"Give one whole number for each of the {days} days."
        raise Malformed(path, len(people), f"{len(people)} numbers for {days} days", remedy)
    return Cell(f.text("id"), *_place(f), f.number("km"), people)


def _promise(f: Fields, days: int) -> Promise:
    f.only("population", "day", "lead", "data_collector")
    return Promise(f.text("population"), f.whole("day", 0, days - 1), f.text("lead"),
                   f.text("data_collector"))  # fmt: skip


def _unique(name: str, ids: Sequence[str]) -> None:
    first: dict[str, int] = {}
    for i, one in enumerate(ids):
        if one in first:
            path, before = f"{name}[{i}].id", f"{name}[{first[one]}]"
            raise Malformed(path, one, f"is the id of {before} too", "Give each its own id.")
        first[one] = i


def _known(path: str, value: str, ids: set[str], kind: str) -> None:
    if value not in ids:
        raise Malformed(path, value, f"is no id of {kind}", f"Use an id listed under {kind}.")


def _known_targets(populations: Iterable[Population], targets: Iterable[Target]) -> None:
    ids = {t.id for t in targets}
    for i, p in enumerate(populations):
        _known(f"populations[{i}].target", p.target, ids, "targets")


def _known_promises(
    promised: Sequence[Promise], populations: Iterable[Population], people: Iterable[Person]
) -> None:
    places, persons = {p.id for p in populations}, {q.id for q in people}
    first: dict[tuple[str, int], int] = {}
    for i, m in enumerate(promised):
        path = f"promised[{i}]"
        _known(f"{path}.population", m.population, places, "populations")
        _known(f"{path}.lead", m.lead, persons, "people")
        _known(f"{path}.data_collector", m.data_collector, persons, "people")
        before = first.setdefault((m.population, m.day), i)
        if before != i:
            said = f"the population and day of promised[{before}] once more"
            raise Malformed(path, f"{m.population}, day {m.day}", said, "Keep one of the two.")
