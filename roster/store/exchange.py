"""Imports: finished steps and postcodes in bulk, what each row did, and how to take it back."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, bindparam, func, select, update

from roster.store.bulk import parts_of
from roster.store.exchange_people import ExchangePeople
from roster.store.models.exchange import import_batch, import_row
from roster.store.models.people import person
from roster.store.models.programme import postcode
from roster.store.models.training import completion
from roster.store.rows import made


@dataclass(frozen=True)
class Batch:
    """One import as kept."""

    id: int
    kind: str
    file_name: str
    at: datetime
    by_name: str | None
    row_count: int
    undone_at: datetime | None


@dataclass(frozen=True)
class BatchRow:
    """What one row of an import did; `before` the values that it changed."""

    line: int
    row_id: int
    act: str
    before: dict[str, Any] | None


class Exchange(ExchangePeople):
    """Reads and writes in bulk, for imports."""

    # finished steps

    def finished(self, people: Collection[int]) -> dict[tuple[int, int, date], tuple[Any, ...]]:
        """Finished steps on record: (person, step, day) -> (row, last valid day, mark)."""
        c = completion.c
        return {
            (row.person, row.step, row.done_on): (row.id, row.own_until, row.score)
            for part in parts_of(people)
            for row in self.unit.run(
                select(c.id, c.person, c.step, c.done_on, c.own_until, c.score).where(
                    c.person.in_(part), c.ended_at.is_(None)
                )
            )
        }

    def add_completions(self, rows: Sequence[Mapping[str, Any]]) -> Sequence[int]:
        """Many finished steps; gives the numbers of their rows."""
        return self.add_many(completion, rows)

    def end_completions(self, numbers: Collection[int], why: str) -> None:
        """Void many finished steps."""
        for part in parts_of(numbers):
            self.unit.end(completion, part, why)

    def people_of_completions(self, numbers: Collection[int]) -> list[int]:
        """Whose finished steps these are, by the person each was merged into."""
        root = func.coalesce(person.c.root_id, person.c.id)
        found: set[int] = set()
        for part in parts_of(numbers):
            query = select(root).join(completion, completion.c.person == person.c.id)
            found |= set(self.unit.run(query.where(completion.c.id.in_(part))).scalars())
        return sorted(found)

    def restore_completions(self, numbers: Collection[int]) -> None:
        """Record anew, as they were, finished steps that were ended."""
        c = completion.c
        columns = (c.person, c.step, c.n, c.done_on, c.own_until, c.source, c.score, c.assessor)
        rows = [
            dict(row._mapping)
            for part in parts_of(numbers)
            for row in self.unit.run(select(*columns).where(c.id.in_(part)))
        ]
        self.add_many(completion, rows)

    def births(self, numbers: Collection[int]) -> dict[int, tuple[int, date | None, str]]:
        """For each person (present): who it was merged into, birth date, name."""
        c = person.c
        root = func.coalesce(c.root_id, c.id).label("root")
        return {
            row.id: (row.root, row.born_on, row.name)
            for part in parts_of(numbers)
            for row in self.unit.run(
                select(c.id, root, c.born_on, c.name).where(
                    c.id.in_(part), c.state.in_(("active", "paused"))
                )
            )
        }

    # postcodes

    def postcodes(self) -> dict[str, tuple[float, float]]:
        """Every postcode on record with its place."""
        c = postcode.c
        return {r.code: (r.lat, r.lon) for r in self.unit.run(select(c.code, c.lat, c.lon))}

    def put_postcodes(
        self, new: Sequence[Mapping[str, Any]], changed: Sequence[Mapping[str, Any]]
    ) -> None:
        """Add postcodes, and move those that lie elsewhere now."""
        if new:
            self.unit.run(postcode.insert(), list(new))
        if changed:
            self.unit.run(
                update(postcode)
                .where(postcode.c.code == bindparam("of_code"))
                .values(lat=bindparam("to_lat"), lon=bindparam("to_lon")),
                [{"of_code": c["code"], "to_lat": c["lat"], "to_lon": c["lon"]} for c in changed],
            )

    # batches

    def add_batch(self, kind: str, file_name: str, sha256: str, row_count: int) -> int:
        """A new batch; gives its number."""
        return self.unit.insert(
            import_batch, kind=kind, file_name=file_name, sha256=sha256,
            by=self.unit.actor.person, at=self.unit.at, row_count=row_count,
        )  # fmt: skip

    def add_batch_rows(
        self, batch: int, table: str, rows: Sequence[tuple[int, int, str, Mapping[str, Any] | None]]
    ) -> None:
        """What each row did: line, number of the row, act, values before."""
        self.add_many(
            import_row,
            [
                {"batch": batch, "line": line, "table_name": table, "row_id": number, "act": act,
                 "before": None if before is None else json.dumps(before, default=str)}
                for line, number, act, before in rows
            ],
        )  # fmt: skip

    def batch(self, number: int) -> Batch | None:
        """One batch, None if there is none of that number."""
        row = self.unit.run(_batches().where(import_batch.c.id == number)).one_or_none()
        return None if row is None else made(Batch, row)

    def batches(self, limit: int) -> list[Batch]:
        """The latest batches, newest first."""
        rows = self.unit.run(_batches().order_by(import_batch.c.id.desc()).limit(limit))
        return [made(Batch, row) for row in rows]

    def batch_rows(self, number: int) -> list[BatchRow]:
        """What the rows of a batch did, by line."""
        c = import_row.c
        rows = self.unit.run(
            select(c.line, c.row_id, c.act, c.before).where(c.batch == number).order_by(c.line)
        )
        return [
            BatchRow(r.line, r.row_id, r.act, None if r.before is None else json.loads(r.before))
            for r in rows
        ]

    def mark_undone(self, number: int) -> bool:
        """Mark a batch as taken back; False if it was."""
        done = self.unit.run(
            update(import_batch)
            .where(import_batch.c.id == number, import_batch.c.undone_at.is_(None))
            .values(undone_at=self.unit.at)
        )
        return done.rowcount == 1


def _batches() -> Select[Any]:
    c = import_batch.c
    return select(
        c.id, c.kind, c.file_name, c.at, person.c.name.label("by_name"), c.row_count, c.undone_at
    ).outerjoin(person, person.c.id == c.by)
