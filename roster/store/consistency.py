"""What must agree in the database, asked in a few statements; for `verify`."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import and_, func, or_, select

from roster.store.base import db
from roster.store.models.events import event, spot
from roster.store.unit import Unit

SHOWN = 50


@dataclass(frozen=True)
class Difference:
    """One thing that does not agree: what, which, and both figures."""

    what: str
    object_id: int
    kept: str
    counted: str


def taken_differences(unit: Unit) -> list[Difference]:
    """Events whose taken spots are not those offered, placed or come, of every role."""
    live = (
        select(spot.c.event, func.count().label("n"))
        .where(spot.c.state.in_(("placed", "offered", "came")))
        .group_by(spot.c.event)
        .subquery()
    )
    counted = func.coalesce(live.c.n, 0)
    rows = unit.run(
        select(event.c.id, event.c.taken, counted.label("n"))
        .select_from(event.outerjoin(live, live.c.event == event.c.id))
        .where(event.c.taken != counted)
        .limit(SHOWN)
    )
    return [Difference("event.taken", r.id, str(r.taken), str(r.n)) for r in rows]


def half_ended(unit: Unit) -> list[Difference]:
    """Rows of two times that were recorded or ended without a place in the journal."""
    found = []
    for table in db.metadata.sorted_tables:
        if table.info.get("guard") != "two_times":
            continue
        c = table.c
        rows = unit.run(
            select(c.id).where(
                or_(
                    c.recorded_seq.is_(None),
                    and_(c.ended_at.is_not(None), c.ended_seq.is_(None)),
                    and_(c.ended_at.is_(None), c.ended_seq.is_not(None)),
                )
            ).limit(SHOWN)
        )  # fmt: skip
        found += [Difference(f"{table.name} in the journal", r.id, "missing", "one") for r in rows]
    return found
