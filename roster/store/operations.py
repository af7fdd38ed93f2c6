"""Answers already given, so that a repeat gets the first one."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from sqlalchemy import delete, select

from roster.store.models.access import operation
from roster.store.unit import Unit


class Operations:
    """The table of answered operations."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def answer(self, actor: str, number: str) -> tuple[Any] | None:
        """The first answer, in a tuple, or None when the operation is new."""
        kept = self.unit.run(
            select(operation.c.answer).where(operation.c.actor == actor, operation.c.id == number)
        ).scalar()
        return None if kept is None else (json.loads(kept),)

    def sweep(self, before: datetime) -> int:
        """Take away answers given before an instant; gives how many rows went."""
        return int(self.unit.run(delete(operation).where(operation.c.at < before)).rowcount)

    def keep(self, actor: str, number: str, answer: Any) -> Any:
        """Keep an answer (plain JSON values only) and give it as a repeat will get it."""
        told = json.dumps(answer)
        self.unit.run(
            operation.insert().values(actor=actor, id=number, answer=told, at=self.unit.at)
        )
        return json.loads(told)
