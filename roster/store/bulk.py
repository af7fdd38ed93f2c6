"""Many rows at once: numbers taken ahead, one statement for all."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sqlalchemy import Table, text

from roster.store.unit import Unit

PART = 1000


def parts_of(values: Collection[Any]) -> list[list[Any]]:
    """The values in parts that fit into one statement."""
    some = list(values)
    return [some[start : start + PART] for start in range(0, len(some), PART)]


class BulkRows:
    """Adds rows by the thousand."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def numbers(self, table: Table, count: int) -> Sequence[int]:
        """So many numbers of new rows, taken for good; the writer holds the queue on SQLite."""
        if count == 0:
            return []
        if self.unit.connection.dialect.name == "sqlite":
            last = self.unit.run(
                text("SELECT seq FROM sqlite_sequence WHERE name = :name").bindparams(
                    name=table.name
                )
            ).scalar()
            return range((last or 0) + 1, (last or 0) + 1 + count)
        rows = self.unit.run(
            text(
                "SELECT nextval(pg_get_serial_sequence(:name, 'id')) FROM generate_series(1, :n)"
            ).bindparams(name=table.name, n=count)
        )
        return [int(n) for n in rows.scalars()]

    def add_many(self, table: Table, rows: Sequence[Mapping[str, Any]]) -> Sequence[int]:
        """Many rows in one go; gives their numbers in order. Two-times columns are filled in."""
        numbers = self.numbers(table, len(rows))
        if not rows:
            return numbers
        more: dict[str, Any] = {}
        if table.info.get("guard") == "two_times":
            more = {"recorded_at": self.unit.at, "recorded_by": self.unit.actor.person}
            self.unit.recorded.setdefault(table.name, (table, []))[1].extend(numbers)
        filled = [{"id": n, **row, **more} for n, row in zip(numbers, rows, strict=True)]
        self.unit.run(table.insert(), filled)
        return numbers
