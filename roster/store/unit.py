"""One transaction: runs statements, keeps two times, and closes with the journal."""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Connection, CursorResult, Executable, Insert, Table, select, update

from roster.domain.people import Actor
from roster.store.models.journal import journal, journal_head, journal_value

SYSTEM_TABLES = {"operation", "rate", "session", "sign_in", "job_run", "outbox", "feed_body",
                 "feed", "derivation", "held", "busy", "event_summary", "event_text",
                 "ready_window"}  # fmt: skip


@dataclass(frozen=True)
class JournalEntry:
    """One row of the journal before it has its place in the chain."""

    verb: str
    kind: str
    object_id: str
    region: int | None
    before: Mapping[str, Any]
    after: Mapping[str, Any]


@dataclass
class Unit:
    """A transaction in hand. `at` is the instant that all its rows carry."""

    connection: Connection
    actor: Actor
    at: datetime
    entries: list[JournalEntry] = field(default_factory=list)
    recorded: dict[str, tuple[Table, list[int]]] = field(default_factory=dict)
    ended: dict[str, tuple[Table, list[int]]] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)

    def run(self, statement: Executable, values: Any = None) -> CursorResult[Any]:
        """Run one statement; `values` are its parameters (one mapping or a list)."""
        table = getattr(statement, "table", None)
        if table is not None and getattr(statement, "is_dml", False):
            self.changed.add(table.name)
        return self.connection.execute(statement, values)

    def insert(self, table: Table, **values: Any) -> int:
        """Add one row and give its number; two-times columns are filled in."""
        if table.info.get("guard") == "two_times":
            values = values | self._recorded()
        made = self.run(_insert(table), values).inserted_primary_key
        number = int(made[0]) if made is not None else 0
        if table.info.get("guard") == "two_times":
            self.recorded.setdefault(table.name, (table, []))[1].append(number)
        return number

    def insert_many(self, table: Table, rows: Sequence[Mapping[str, Any]]) -> list[int]:
        """Add many rows in one statement a thousand; numbers in the order of the rows."""
        two = table.info.get("guard") == "two_times"
        filled = [{**row, **self._recorded()} for row in rows] if two else list(rows)
        if not filled:
            return []
        statement = table.insert().returning(table.c.id, sort_by_parameter_order=True)
        numbers = [int(n) for n in self.run(statement, filled).scalars()]
        if two:
            self.recorded.setdefault(table.name, (table, []))[1].extend(numbers)
        return numbers

    def end(self, table: Table, numbers: Iterable[int], why: str) -> int:
        """End rows of a two-times table (they are never changed or deleted); how many ended."""
        ids = list(numbers)
        if not ids:
            return 0
        done = self.run(
            update(table)
            .where(table.c.id.in_(ids), table.c.ended_at.is_(None))
            .values(ended_at=self.at, ended_why=why)
        )
        self.ended.setdefault(table.name, (table, []))[1].extend(ids)
        return int(done.rowcount)

    def note(  # noqa: PLR0913 - the parts of one line of the journal
        self,
        verb: str,
        kind: str,
        object_id: object,
        *,
        region: int | None = None,
        before: Mapping[str, Any] | None = None,
        after: Mapping[str, Any] | None = None,
    ) -> None:
        """Say in the journal what was done to what; values go beside it, deletable."""
        self.entries.append(
            JournalEntry(verb, kind, str(object_id), region, before or {}, after or {})
        )

    @contextmanager
    def attempt(self) -> Iterator[None]:
        """What is done inside is undone if it raises, journal rows too; the error goes on."""
        entries = list(self.entries)
        kept = [
            {name: (table, list(ids)) for name, (table, ids) in rows.items()}
            for rows in (self.recorded, self.ended)
        ]
        point = self.connection.begin_nested()
        try:
            yield
        except BaseException:
            point.rollback()
            self.entries[:] = entries
            self.recorded, self.ended = kept
            raise
        point.commit()

    def close(self) -> None:
        """Chain the journal rows and stamp the two-times rows; the last act before commit."""
        if not self.entries:
            if self.changed - SYSTEM_TABLES:
                raise AssertionError(f"changed without a journal row: {sorted(self.changed)}")
            return
        head = self.run(select(journal_head.c.seq, journal_head.c.hash).with_for_update()).one()
        first, seq, prev = head.seq + 1, head.seq, head.hash
        rows, values = [], []
        for entry in self.entries:
            seq += 1
            mine = _values(seq, entry)
            row = self._row(seq, prev, entry, mine)
            prev = row["hash"]
            rows.append(row)
            values.extend(mine)
        self.connection.execute(journal.insert(), rows)
        if values:
            self.connection.execute(journal_value.insert(), values)
        self.connection.execute(update(journal_head).values(seq=seq, hash=prev))
        self._stamp(first)

    def _recorded(self) -> dict[str, Any]:
        return {"recorded_at": self.at, "recorded_by": self.actor.person}

    def _row(
        self, seq: int, prev: str, entry: JournalEntry, mine: Sequence[Mapping[str, Any]]
    ) -> dict[str, Any]:
        row: dict[str, Any] = {
            "seq": seq,
            "at": self.at,
            "actor": self.actor.name if self.actor.person is None else f"V{self.actor.person}",
            "person": self.actor.person,
            "verb": entry.verb,
            "object_kind": entry.kind,
            "object_id": entry.object_id,
            "region": entry.region,
            "digest": digest_of(mine),
            "prev": prev,
        }
        return row | {"hash": hash_of(row)}

    def _stamp(self, seq: int) -> None:
        for table, ids in self.recorded.values():
            for part in _parts(ids):
                self.connection.execute(
                    update(table).where(table.c.id.in_(part)).values(recorded_seq=seq)
                )
        for table, ids in self.ended.values():
            for part in _parts(ids):
                self.connection.execute(
                    update(table)
                    .where(table.c.id.in_(part), table.c.ended_seq.is_(None))
                    .values(ended_seq=seq)
                )


def _parts(ids: Sequence[int], size: int = 1000) -> Iterable[Sequence[int]]:
    return (ids[i : i + size] for i in range(0, len(ids), size))


@cache
def _insert(table: Table) -> Insert:
    """One statement a table, whose parameters are handed over at each run."""
    return table.insert()


def _values(seq: int, entry: JournalEntry) -> list[dict[str, Any]]:
    names = sorted({*entry.before, *entry.after})
    rows = [
        {
            "seq": seq,
            "field": name,
            "before": _plain(entry.before.get(name)),
            "after": _plain(entry.after.get(name)),
            "salt": secrets.token_hex(8),
        }
        for name in names
    ]
    return [row | {"digest": value_digest(row)} for row in rows]


def _plain(value: Any) -> str | None:
    return None if value is None else str(value)


def digest_of(values: Sequence[Mapping[str, Any]]) -> str:
    """SHA-256 over the values' own salted digests, so that a value can be erased alone."""
    return hashlib.sha256("".join(v["digest"] for v in values).encode()).hexdigest()


def value_digest(value: Mapping[str, Any]) -> str:
    """SHA-256 of salt, field and both values."""
    told = json.dumps([value["salt"], value["field"], value["before"], value["after"]])
    return hashlib.sha256(told.encode()).hexdigest()


def hash_of(row: Mapping[str, Any]) -> str:
    """The hash that chains a journal row to the one before."""
    at = row["at"].strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    told = json.dumps([row["seq"], at, row["actor"], row["verb"], row["object_kind"],
                       row["object_id"], row["region"], row["digest"], row["prev"]])  # fmt: skip
    return hashlib.sha256(told.encode()).hexdigest()
