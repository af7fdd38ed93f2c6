"""Many rows at once: numbers taken ahead, one statement for all."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import repeat
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
        """Many rows of the same columns in one go; gives their numbers in order.

        Two-times columns are filled in. The driver is handed plain tuples: a statement built for
        each row would take longer than the database.
        """
        numbers = self.numbers(table, len(rows))
        if not rows:
            return numbers
        more: dict[str, Any] = {}
        if table.info.get("guard") == "two_times":
            more = {"recorded_at": self.unit.at, "recorded_by": self.unit.actor.person}
            self.unit.recorded.setdefault(table.name, (table, []))[1].extend(numbers)
        names = list(rows[0])
        columns: list[Iterable[Any]] = [numbers]
        columns += [self._bound(table, name, [row[name] for row in rows]) for name in names]
        columns += [
            repeat(self._bound(table, name, [value])[0], len(rows)) for name, value in more.items()
        ]
        self._run(table, ["id", *names, *more], columns)
        return numbers

    def _bound(self, table: Table, name: str, values: list[Any]) -> list[Any]:
        """The values of one column as the driver takes them."""
        dialect = self.unit.connection.dialect
        bind = table.c[name].type.dialect_impl(dialect).bind_processor(dialect)
        return values if bind is None else [bind(value) for value in values]

    def _run(self, table: Table, names: list[str], columns: list[Iterable[Any]]) -> None:
        sign = "?" if self.unit.connection.dialect.name == "sqlite" else "%s"
        named = ", ".join(f'"{name}"' for name in names)
        signs = ", ".join([sign] * len(names))
        statement = f'INSERT INTO "{table.name}" ({named}) VALUES ({signs})'  # noqa: S608 - ours
        self.unit.connection.exec_driver_sql(statement, list(zip(*columns, strict=True)))
        self.unit.changed.add(table.name)
