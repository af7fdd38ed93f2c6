"""Import of finished steps: who, which step, which day; and doing it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from roster.domain.errors import BadInput
from roster.domain.import_columns import Columns, heading_key
from roster.domain.person_entry import day_told
from roster.domain.reasons import Fact, Reason
from roster.domain.training import Source, Step
from roster.services.finished import check_score
from roster.services.import_people import refresh
from roster.services.import_rows import Outcome, RowLook, Sorted, cells, day_text, number_told
from roster.services.people import today_in
from roster.store.base import key_of
from roster.store.registry import Store


@dataclass(slots=True)
class _Row:
    """One finished step as told."""

    line: int
    person: int
    step: Step
    done_on: date
    own_until: date | None
    score: float | None


@dataclass
class CompletionsPlan:
    """Finished steps to add, and those on record to put right. See `import_rows.Plan`."""

    looks: list[RowLook]
    today: date
    new: list[_Row] = field(default_factory=list)
    changed: list[tuple[_Row, int]] = field(default_factory=list)
    roots: dict[int, int] = field(default_factory=dict)

    def apply(self, store: Store, batch: int) -> None:
        """Add the rows; what is put right is ended and added anew."""
        store.exchange.end_completions([old for _, old in self.changed], "put right by an import")
        for act, rows in (("new", self.new), ("changed", [row for row, _ in self.changed])):
            numbers = store.exchange.add_completions([_values(row) for row in rows])
            ended = [None] * len(rows) if act == "new" else [o for _, o in self.changed]
            store.exchange.add_batch_rows(
                batch, "completion",
                [
                    (row.line, number, act, None if old is None else {"row": old})
                    for row, number, old in zip(rows, numbers, ended, strict=True)
                ],
            )  # fmt: skip
        people = {r.person for r in self.new} | {r.person for r, _ in self.changed}
        refresh(store, sorted({self.roots[p] for p in people}), self.today)


def _values(row: _Row) -> dict[str, Any]:
    version = row.step.version_on(row.done_on)
    return {
        "person": row.person, "step": row.step.id, "n": version.n if version else 1,
        "done_on": row.done_on, "own_until": row.own_until, "score": row.score,
        "source": Source.SPREADSHEET.value,
    }  # fmt: skip


def look(
    store: Store, rows: Sequence[tuple[int, Sequence[Any]]], columns: Columns
) -> CompletionsPlan:
    """What the rows would do; changes nothing."""
    today = today_in(store)
    sorting = Sorted()
    told = [(line, cells(columns, row)) for line, row in rows]
    numbers = _numbers(store, [str(t["person"]) for _, t in told if "person" in t])
    births = store.exchange.births(set(numbers.values()))
    steps = store.training.steps().values()
    named = {heading_key(name): s for s in steps for name in (s.name, s.code)}
    known = _Known(numbers, births, named, today)
    read = []
    for line, row in told:
        who = f"{row.get('person', '')}, {row.get('step', '')}"[:80]
        try:
            read.append(_read(line, row, known))
        except BadInput as error:
            sorting.refuse(line, who, error.reason, error.field)
    plan = CompletionsPlan(sorting.looks, today, roots={p: b[0] for p, b in births.items()})
    _sort(store, plan, read, {p: b[2] for p, b in births.items()})
    plan.looks.sort(key=lambda look: look.line)
    return plan


def _numbers(store: Store, told: list[str]) -> dict[str, int]:
    """Which person each reference names."""
    found: dict[str, int] = {}
    keys: dict[str, str] = {}
    for reference in set(told):
        number = re.fullmatch(r"[vV]?(\d{1,15})", reference)
        if number:
            found[reference] = int(number.group(1))
        else:
            keys[reference] = key_of(reference)
    people = store.exchange.people_by_address(set(keys.values()))
    return found | {r: people[key] for r, key in keys.items() if key in people}


@dataclass(frozen=True)
class _Known:
    """What references of a file mean."""

    numbers: dict[str, int]
    births: dict[int, tuple[int, date | None, str]]
    steps: dict[str, Step]
    today: date


def _read(line: int, told: dict[str, Any], known: _Known) -> _Row:
    for name in ("person", "step", "done_on"):
        if name not in told:
            raise BadInput(name, None, Reason("cell_missing", {"column": name}))
    number = known.numbers.get(str(told["person"]))
    if number is None or number not in known.births:
        value = str(told["person"])[:80]
        raise BadInput("person", value, Reason("person_not_known", {"value": value}))
    step = known.steps.get(heading_key(str(told["step"])))
    if step is None:
        value = str(told["step"])[:80]
        raise BadInput("step", value, Reason("step_not_known", {"value": value}))
    done_on = day_told("done_on", told["done_on"])
    assert done_on is not None  # noqa: S101 - the cell is filled, see above
    row = _Row(
        line, number, step, done_on, day_told("own_until", told.get("own_until")),
        number_told("score", told.get("score")),
    )  # fmt: skip
    _check(row, known.births[number][1], known.today)
    return row


def _check(row: _Row, born_on: date | None, today: date) -> None:
    facts: dict[str, Fact] = {"step": row.step.name, "day": row.done_on}
    if row.step.paper is not None:
        raise BadInput("step", row.step.code, Reason("step_is_signed", facts))
    if row.done_on > today:
        raise BadInput("done_on", row.done_on, Reason("done_in_future", facts))
    if born_on is not None and row.done_on < born_on:
        raise BadInput("done_on", row.done_on, Reason("done_before_birth", facts))
    if row.own_until is not None and row.own_until < row.done_on:
        ends: dict[str, Fact] = {"last_day": row.own_until, "day": row.done_on}
        raise BadInput("own_until", row.own_until, Reason("own_end_before_done", ends))
    check_score("score", row.score)


def _sort(store: Store, plan: CompletionsPlan, rows: list[_Row], names: dict[int, str]) -> None:
    on_record = store.exchange.finished({row.person for row in rows})
    seen: dict[tuple[int, int, date], int] = {}
    for row in rows:
        key = (row.person, row.step.id, row.done_on)
        who = f"{names[row.person]}, {row.step.name}"
        first = seen.setdefault(key, row.line)
        if first != row.line:
            reason = Reason("person_twice_in_file", {"line": first})
            plan.looks.append(RowLook(row.line, Outcome.REFUSED, who, reason))
            continue
        old = on_record.get(key)
        if old is None:
            plan.new.append(row)
            plan.looks.append(RowLook(row.line, Outcome.NEW, who))
            continue
        _against_record(plan, row, old, who)


def _against_record(plan: CompletionsPlan, row: _Row, old: tuple[Any, ...], who: str) -> None:
    number, own_until, score = old
    row.own_until = own_until if row.own_until is None else row.own_until
    row.score = score if row.score is None else row.score
    pairs = (("own_until", own_until, row.own_until), ("score", score, row.score))
    changes = tuple((name, day_text(a), day_text(b)) for name, a, b in pairs if a != b)
    if changes:
        plan.changed.append((row, number))
    outcome = Outcome.CHANGED if changes else Outcome.UNCHANGED
    plan.looks.append(RowLook(row.line, outcome, who, None, changes))
