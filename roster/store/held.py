"""The derived table of who is cleared in which role from when until when, with the home place."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import asin, atan2, degrees, floor
from typing import Any

from sqlalchemy import delete, func, or_, select, update

from roster.domain.spans import OPEN_END, Span
from roster.store.models.messages import derivation
from roster.store.models.people import held, person
from roster.store.unit import Unit

NAME = "held"
VERSION = 1
"""Counted up when the rules behind the table change, so that it is rebuilt."""
CELL_DEGREES = 0.25


@dataclass(frozen=True)
class Cleared:
    """One row: a person cleared in a role on half-open days; `until_on` None has no end."""

    root: int
    role: str
    from_on: date
    until_on: date | None


Place = tuple[float, float, float] | None


def rows_of(root: int, spans: Iterable[tuple[str, Sequence[Span]]]) -> list[Cleared]:
    """The rows of one person from the spans of each role."""
    return [
        Cleared(root, role, first, None if until == OPEN_END else until)
        for role, some in spans
        for first, until in some
    ]


def cell_of(place: Place) -> int | None:
    """The number of the quarter-degree cell that holds a place."""
    if place is None:
        return None
    x, y, z = place
    lat, lon = degrees(asin(max(-1.0, min(1.0, z)))), degrees(atan2(y, x))
    return floor((lat + 90) / CELL_DEGREES) * 1440 + floor((lon + 180) / CELL_DEGREES)


class HeldTable:
    """Writes the table for some people or all, and reads it back."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def replace(self, roots: Collection[int], rows: Sequence[Cleared]) -> None:
        """Put these rows in place of all rows of these people."""
        ids = list(roots)
        for start in range(0, len(ids), 1000):
            self.unit.run(delete(held).where(held.c.root.in_(ids[start : start + 1000])))
        self.add(rows, self._places(ids))

    def clear(self) -> None:
        """Empty the table, before it is filled anew."""
        self.unit.run(delete(held))

    def fill(self, roots: Collection[int], rows: Sequence[Cleared]) -> None:
        """Add rows of people that have none."""
        self.add(rows, self._places(list(roots)))

    def add(self, rows: Sequence[Cleared], places: dict[int, Place]) -> None:
        """Add rows with the home place of each person."""
        if not rows:
            return
        filled = []
        for row in rows:
            place = places.get(row.root)
            x, y, z = place or (None, None, None)
            filled.append(
                {"root": row.root, "role": row.role, "from_on": row.from_on,
                 "until_on": row.until_on, "x": x, "y": y, "z": z, "cell": cell_of(place)}
            )  # fmt: skip
        self.unit.run(held.insert(), filled)

    def move(self, root: int) -> None:
        """Bring the home place of a person into the table after it changed."""
        place = self._places([root]).get(root)
        x, y, z = place or (None, None, None)
        self.unit.run(
            update(held).where(held.c.root == root).values(x=x, y=y, z=z, cell=cell_of(place))
        )

    def of(self, root: int) -> list[Cleared]:
        """The rows of one person."""
        return self.of_many([root])

    def of_many(self, roots: Collection[int]) -> list[Cleared]:
        """The rows of these people, in order."""
        c = held.c
        found: list[Cleared] = []
        ids = list(roots)
        for start in range(0, len(ids), 1000):
            rows = self.unit.run(
                select(c.root, c.role, c.from_on, c.until_on)
                .where(c.root.in_(ids[start : start + 1000]))
                .order_by(c.root, c.role, c.from_on)
            )
            found += [Cleared(r.root, r.role, r.from_on, r.until_on) for r in rows]
        return found

    def count(self, role: str, day: date, regions: Collection[int] | None = None) -> int:
        """How many people are cleared in a role on a day (in those regions)."""
        from roster.store.models.people import person_region

        c = held.c
        query = select(func.count(c.root.distinct())).where(
            c.role == role, c.from_on <= day, or_(c.until_on.is_(None), c.until_on > day)
        )
        if regions is not None:
            query = query.join(person_region, person_region.c.person == c.root).where(
                person_region.c.ended_at.is_(None),
                person_region.c.until_on.is_(None),
                person_region.c.region.in_(regions),
            )
        return int(self.unit.run(query).scalar_one())

    def mark_rebuilt(self, tz_version: str) -> None:
        """Remember by which rules and when the whole table was built."""
        values: dict[str, Any] = {
            "version": VERSION,
            "tzdata": tz_version,
            "rebuilt_at": self.unit.at,
        }
        done = self.unit.run(update(derivation).where(derivation.c.name == NAME).values(**values))
        if done.rowcount == 0:
            self.unit.run(derivation.insert().values(name=NAME, **values))

    def rebuilt(self) -> tuple[int, datetime] | None:
        """By which version of the rules the table was built, and when; None if never."""
        row = self.unit.run(
            select(derivation.c.version, derivation.c.rebuilt_at).where(derivation.c.name == NAME)
        ).one_or_none()
        return None if row is None else (row.version, row.rebuilt_at)

    def _places(self, roots: Sequence[int]) -> dict[int, Place]:
        c = person.c
        found: dict[int, Place] = {}
        for start in range(0, len(roots), 1000):
            rows = self.unit.run(
                select(c.id, c.x, c.y, c.z).where(
                    c.id.in_(roots[start : start + 1000]), c.x.is_not(None)
                )
            )
            found |= {row.id: (row.x, row.y, row.z) for row in rows}
        return found
