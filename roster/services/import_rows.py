"""What the rows of a spreadsheet would do, for every kind of import."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Protocol

from roster.domain.errors import BadInput
from roster.domain.import_columns import FIELDS, Columns
from roster.domain.reasons import Reason
from roster.store.registry import Store


class Outcome(StrEnum):
    """What a row does."""

    NEW = "new"
    CHANGED = "changed"
    UNCHANGED = "unchanged"
    REFUSED = "refused"


COLUMNS = frozenset(name for fields in FIELDS.values() for name in fields)


@dataclass(frozen=True, slots=True)
class RowLook:
    """What one row does; `who` names it, `changes` are (column, before, after).

    `column` is the one that a refusal is about, empty if it is about the row as a whole.
    """

    line: int
    outcome: Outcome
    who: str
    reason: Reason | None = None
    changes: tuple[tuple[str, str, str], ...] = ()
    column: str = ""


class Plan(Protocol):
    """What an import would do; `apply` does it in the transaction at hand."""

    looks: list[RowLook]

    def apply(self, store: Store, batch: int) -> None:
        """Do what the rows say and keep what each did."""


def cells(columns: Columns, row: Sequence[Any]) -> dict[str, Any]:
    """The filled cells of a row by field, text without outer blanks."""
    found = {}
    width = len(row)
    for name, place in columns.places.items():
        if place < width:
            value = row[place]
            if isinstance(value, str):
                value = value.strip()
            if value != "":
                found[name] = value
    return found


@dataclass
class Sorted:
    """Rows as they are gone through: what was read of each, or why it was refused."""

    looks: list[RowLook] = field(default_factory=list)

    def refuse(self, line: int, who: str, reason: Reason, column: str = "") -> None:
        """A row that cannot be used."""
        named = column if column in COLUMNS else ""
        self.looks.append(RowLook(line, Outcome.REFUSED, who, reason, column=named))


def number_told(name: str, told: object) -> float | None:
    """A number from a cell, None for an empty one; BadInput if it is none."""
    if told is None:
        return None
    try:
        value = float(str(told).replace(",", "."))
    except ValueError:
        value = float("nan")
    if value != value or value in (float("inf"), float("-inf")):
        raise BadInput(name, told, Reason("bad_number", {"value": str(told)[:40]}))
    return value


def day_text(value: object) -> str:
    """A value as the list of changes shows it."""
    return "" if value is None else str(value)
