"""What a message in the queue is: to be added, as it stands, and who was told."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Row

AT_LEAST_ONCE = "at_least_once"
AT_MOST_ONCE = "at_most_once"
UNSENT = ("held", "waiting")


@dataclass(frozen=True)
class NewMessage:
    """A message to be queued: what about, to whom, not before when."""

    kind: str
    once: str
    dedupe: str
    message_id: str
    not_before: datetime
    safety: bool = False
    event: int | None = None
    n: int | None = None
    person: int | None = None
    guardian: int | None = None
    address: int | None = None
    facts: Mapping[str, int] | None = None


@dataclass(frozen=True)
class Queued:
    """A message as it stands in the queue."""

    id: int
    kind: str
    once: str
    safety: bool
    event: int | None
    n: int | None
    person: int | None
    guardian: int | None
    address: int | None
    facts: Mapping[str, int]
    made_at: datetime
    not_before: datetime
    state: str
    tries: int
    said: str | None
    message_id: str
    sent_at: datetime | None


@dataclass(frozen=True)
class Told:
    """Who was told what of an event, and whether they pressed *Seen it*."""

    person: int
    name: str
    kind: str
    n: int | None
    state: str
    safety: bool
    sent_at: datetime | None
    seen_at: datetime | None


def queued(row: Row[Any]) -> Queued:
    """A message from its row."""
    return Queued(
        *(row.id, row.kind, getattr(row, "class"), bool(row.safety), row.event, row.n),
        *(row.person, row.guardian, row.address, json.loads(row.facts), row.made_at),
        *(row.not_before, row.state, row.tries, row.said, row.message_id, row.sent_at),
    )
