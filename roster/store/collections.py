"""Numbers for collections: blocks that never overlap, repeat or restart."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import func, select

from roster.store.models.field import number_block
from roster.store.unit import Unit

BLOCK = 10
"""Numbers that one event takes along (our own default)."""


@dataclass(frozen=True)
class Block:
    """Numbers of a team that one event may give out, both ends inclusive."""

    team: str
    first_no: int
    last_no: int


class Collections:
    """Number blocks; collections themselves are recorded elsewhere."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def take_block(self, team: str, event: int, lead: int | None, size: int = BLOCK) -> Block:
        """The next numbers of a team for an event; a unique key stands behind it."""
        b = number_block.c
        last = self.unit.run(select(func.max(b.last_no)).where(b.team == team)).scalar() or 0
        block = Block(team, int(last) + 1, int(last) + size)
        self.unit.run(
            number_block.insert().values(
                **vars(block), event=event, lead=lead, taken_at=self.unit.at
            )
        )
        return block

    def block_of(self, event: int) -> Block | None:
        """The numbers that an event took along, or None."""
        b = number_block.c
        row = self.unit.run(
            select(b.team, b.first_no, b.last_no).where(b.event == event).order_by(b.id).limit(1)
        ).one_or_none()
        return None if row is None else Block(row.team, row.first_no, row.last_no)
