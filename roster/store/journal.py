"""The trail, read: what was done to an object, and whether the chain still holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from roster.store.models.journal import journal, journal_head, journal_value
from roster.store.models.people import person
from roster.store.unit import Unit, digest_of, hash_of, value_digest

PAGE = 1000


@dataclass(frozen=True)
class JournalLine:
    """One act: when, who (name as known now), verb, object, and the values that changed."""

    seq: int
    at: datetime
    actor: str
    verb: str
    object_kind: str
    object_id: str
    values: tuple[tuple[str, str | None, str | None], ...]


@dataclass(frozen=True)
class ChainFault:
    """Where the chain does not hold, and how: gap, prev, hash, digest, value, head."""

    seq: int
    kind: str


class Journal:
    """Reads the journal; it is written by the unit alone."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def of(
        self, kind: str, number: object, *, limit: int = 50, before: int | None = None
    ) -> list[JournalLine]:
        """Acts on one object, newest first; `before` is the seq to go on from."""
        where = [journal.c.object_kind == kind, journal.c.object_id == str(number)]
        if before is not None:
            where.append(journal.c.seq < before)
        rows = self.unit.run(
            select(journal, person.c.name.label("who"))
            .select_from(journal.outerjoin(person, person.c.id == journal.c.person))
            .where(*where)
            .order_by(journal.c.seq.desc())
            .limit(limit)
        ).all()
        values = self._values([r.seq for r in rows])
        return [
            JournalLine(r.seq, r.at, r.who or r.actor, r.verb, r.object_kind, r.object_id,
                        tuple(values.get(r.seq, ())))
            for r in rows
        ]  # fmt: skip

    def count(self, kind: str, number: object) -> int:
        """How many acts on one object."""
        return int(
            self.unit.run(
                select(func.count()).where(
                    journal.c.object_kind == kind, journal.c.object_id == str(number)
                )
            ).scalar_one()
        )

    def _values(self, seqs: Sequence[int]) -> dict[int, list[tuple[str, str | None, str | None]]]:
        v = journal_value.c
        found: dict[int, list[tuple[str, str | None, str | None]]] = {}
        for row in self.unit.run(
            select(v.seq, v.field, v.before, v.after)
            .where(v.seq.in_(seqs))
            .order_by(v.seq, v.field)
        ):
            found.setdefault(row.seq, []).append((row.field, row.before, row.after))
        return found

    def length(self) -> int:
        """The number of the newest row."""
        return int(self.unit.run(select(journal_head.c.seq)).scalar_one())

    def faults(self) -> list[ChainFault]:
        """Every place where the chain does not hold; read in pages of a thousand."""
        found: list[ChainFault] = []
        last, prev = 0, ""
        while True:
            rows = (
                self.unit.run(
                    select(journal).where(journal.c.seq > last).order_by(journal.c.seq).limit(PAGE)
                )
                .mappings()
                .all()
            )
            if not rows:
                break
            found += self._values_faults(
                rows[0]["seq"], rows[-1]["seq"], {r["seq"]: r["digest"] for r in rows}
            )
            for row in rows:
                if row["seq"] != last + 1:
                    found.append(ChainFault(row["seq"], "gap"))
                if row["prev"] != prev:
                    found.append(ChainFault(row["seq"], "prev"))
                if hash_of(dict(row)) != row["hash"]:
                    found.append(ChainFault(row["seq"], "hash"))
                last, prev = row["seq"], row["hash"]
        head = self.unit.run(select(journal_head)).one()
        if (head.seq, head.hash) != (last, prev):
            found.append(ChainFault(head.seq, "head"))
        return found

    def _values_faults(self, first: int, last: int, digests: dict[int, str]) -> list[ChainFault]:
        v = journal_value.c
        rows = (
            self.unit.run(
                select(journal_value).where(v.seq.between(first, last)).order_by(v.seq, v.field)
            )
            .mappings()
            .all()
        )
        by_seq: dict[int, list[dict[str, str]]] = {seq: [] for seq in digests}
        found = []
        for row in rows:
            by_seq.setdefault(row["seq"], []).append(dict(row))
            # An erased value has no salt; its digest still stands for it.
            if row["salt"] is not None and value_digest(dict(row)) != row["digest"]:
                found.append(ChainFault(row["seq"], "value"))
        found += [
            ChainFault(seq, "digest") for seq, mine in by_seq.items()
            if seq not in digests or digest_of(mine) != digests[seq]
        ]  # fmt: skip
        return found
