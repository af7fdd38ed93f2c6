"""Holds the written records of a kill drill against the database, with a small model of its own."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select

from roster.measure.kill_worker import written_down
from roster.store.base import db
from roster.store.models.access import operation
from roster.store.models.events import spot
from roster.store.models.journal import journal, journal_value
from roster.store.models.messages import outbox

VERBS = {"signed_up": "sign_up", "withdrew": "withdraw"}
LIVE = ("placed", "offered", "came")


@dataclass(frozen=True)
class Answered:
    """An act as its worker wrote it down."""

    number: str
    act: str
    person: int
    answer: Any


def answered(records: Iterable[str]) -> list[Answered]:
    """All acts that were answered, each worker's in its own order."""
    found = []
    for record in records:
        asked: dict[str, Any] = {}
        for line in written_down(record):
            if "asks" in line:
                asked = line
            elif "answer" in line:
                found.append(Answered(asked["asks"], asked["act"], asked["person"], line["answer"]))
    return found


@dataclass(frozen=True)
class Act:
    """An act as the journal has it."""

    act: str
    person: int
    state: str


def journalled(event: int) -> list[Act]:
    """Sign-ups and withdrawals of an event, in the order of the journal."""
    values: dict[int, dict[str, Any]] = defaultdict(dict)
    with db.engine.connect() as connection:
        rows = connection.execute(
            select(journal.c.seq, journal.c.verb, journal_value.c.field, journal_value.c.after)
            .select_from(journal.join(journal_value, journal_value.c.seq == journal.c.seq))
            .where(journal.c.object_kind == "event", journal.c.object_id == str(event))
            .where(journal.c.verb.in_(VERBS))
            .order_by(journal.c.seq)
        ).all()
    for row in rows:
        values[row.seq] |= {"verb": row.verb, row.field: row.after}
    return [
        Act(VERBS[v["verb"]], int(v["person"]), str(v.get("state", ""))) for v in values.values()
    ]


@dataclass
class Model:
    """An event in ten lines: so many spots, and a line of those who wait."""

    size: int
    placed: list[int] = field(default_factory=list)
    line: list[int] = field(default_factory=list)

    def sign_up(self, person: int) -> str:
        """Placed while there is room, else last in line."""
        here = self.placed if len(self.placed) < self.size else self.line
        here.append(person)
        return "placed" if here is self.placed else "waiting"

    def withdraw(self, person: int) -> str:
        """Out; the first in line moves up."""
        here = self.placed if person in self.placed else self.line
        here.remove(person)
        while self.line and len(self.placed) < self.size:
            self.placed.append(self.line.pop(0))
        return ""


def disagreements(acts: Sequence[Act], model: Model, event: int) -> int:
    """How often the journal's states, and the spots at the end, differ from the model's."""
    wrong = 0
    for one in acts:
        try:
            wrong += int(getattr(model, one.act)(one.person) != one.state)
        except ValueError:  # withdrew, and held nothing
            wrong += 1
    with db.engine.connect() as connection:
        rows = connection.execute(
            select(spot.c.person, spot.c.state, spot.c.line_no).where(spot.c.event == event)
        ).all()
    placed = {r.person for r in rows if r.state in LIVE}
    line = [r.person for r in sorted(rows, key=lambda r: r.line_no or 0) if r.state == "waiting"]
    return wrong + int(placed != set(model.placed)) + int(line != model.line)


def lost_and_doubled(told: Sequence[Answered], acts: Sequence[Act]) -> dict[str, int]:
    """Answered acts that the database does not know, or knows with another answer, or twice."""
    with db.engine.connect() as connection:
        kept = {
            row.id: json.loads(row.answer)
            for row in connection.execute(select(operation.c.id, operation.c.answer))
        }
    lost = sum(one.number not in kept for one in told)
    changed = sum(one.number in kept and kept[one.number] != one.answer for one in told)
    mine = Counter((one.act, one.person) for one in told)
    theirs = Counter((one.act, one.person) for one in acts)
    doubled = sum((theirs - mine).values())
    lost = max(lost, sum((mine - theirs).values()))
    return {"lost": lost, "doubled": doubled, "changed": changed}


def mail_faults(records: Iterable[str]) -> tuple[dict[str, int], int]:
    """What went wrong with mail, and how many repeats there were of the kind that may repeat."""
    took = Counter(
        str(line["took"]) for record in records for line in written_down(record) if "took" in line
    )
    with db.engine.connect() as connection:
        rows = connection.execute(
            select(outbox.c.message_id, outbox.c.state, outbox.c["class"].label("once"))
        ).all()
    known = {row.message_id for row in rows}
    never = sum(row.state == "sent" and not took[row.message_id] for row in rows)
    twice = sum(row.once == "at_most_once" and took[row.message_id] > 1 for row in rows)
    unsent = sum(row.state in ("waiting", "claimed", "sending", "failed") for row in rows)
    ghosts = sum(number not in known for number in took)
    repeats = sum(took.values()) - len(took)
    return {"mail_lost": never + unsent, "mail_twice": twice, "mail_without_row": ghosts}, repeats
