"""A process that acts, writes down what it was answered, and may die at any moment.

Before an act it writes down what it asks; after, what it was answered. Started again, it first
asks once more what has no answer, under the same operation, as a phone does that lost its signal.
"""

from __future__ import annotations

import json
import os
import random
import signal
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.message import EmailMessage
from pathlib import Path
from typing import Any

from sqlalchemy import event as hooks

from roster.domain.errors import RosterError
from roster.domain.people import system
from roster.measure.databases import Place, opened
from roster.services import delivery, spots
from roster.services.clock import MachineClock
from roster.store.base import db

ACTOR = system("cli")
LATER = timedelta(hours=1)
IN_TRANSACTION, BEFORE_COMMIT, AFTER_COMMIT = "in transaction", "before commit", "after commit"
SENT_NOT_MARKED = "mail sent, not marked"


@dataclass(frozen=True)
class Share:
    """What one worker works on: its people, its written record, its luck."""

    event: int
    people: tuple[int, ...]
    record: str
    stop: str
    seed: int
    dies_in: float = 0.0
    answers_first: bool = False


class LaterClock(MachineClock):
    """The machine's clock an hour on, so that mail which waits is due."""

    def machine_now(self) -> datetime:
        """An hour from now."""
        return super().machine_now() + LATER


def write_down(record: str, **what: Any) -> None:
    """One line, whole or not at all as far as a kill of the process goes."""
    with open(record, "ab", buffering=0) as out:
        out.write(json.dumps(what).encode() + b"\n")


def written_down(record: str) -> Iterator[dict[str, Any]]:
    """Every line of a record, in order."""
    path = Path(record)
    for line in path.read_text().splitlines() if path.exists() else []:
        yield json.loads(line)


def die(record: str, where: str) -> None:
    """End this process at once, as a cut of power would."""
    write_down(record, died=where)
    os.kill(os.getpid(), signal.SIGKILL)


class Doom:
    """Kills its own process at a named point of the next act."""

    def __init__(self, record: str) -> None:
        self.record, self.point = record, ""
        hooks.listen(db.engine, "commit", self._commit)
        hooks.listen(db.engine, "before_cursor_execute", self._execute)

    def at(self, point: str) -> None:
        """Die here if this is the point."""
        if self.point == point:
            die(self.record, point)

    def _commit(self, _connection: Any) -> None:
        self.at(BEFORE_COMMIT)

    def _execute(self, _conn: Any, _cursor: Any, statement: str, *_more: Any) -> None:
        if statement.startswith("INSERT INTO journal"):
            self.at(IN_TRANSACTION)


@dataclass
class Memory:
    """What a worker's record says: who holds a spot, and the act that has no answer."""

    held: set[int]
    pending: dict[str, Any] | None


def remembered(record: str) -> Memory:
    """Read the record from the start."""
    memory = Memory(set(), None)
    for line in written_down(record):
        if "asks" in line:
            memory.pending = line
        elif "answer" in line and memory.pending is not None:
            change = memory.held.add if memory.pending["act"] == "sign_up" else memory.held.discard
            change(memory.pending["person"])
            memory.pending = None
    return memory


def act(share: Share, asked: dict[str, Any]) -> dict[str, Any]:
    """Sign the person up, or withdraw the person, under the operation asked."""
    number, person = share.event, int(asked["person"])
    if asked["act"] == "sign_up":
        return spots.sign_up(ACTOR, number, person, operation=asked["asks"])
    return spots.withdraw(ACTOR, number, person, operation=asked["asks"])


def sign_up_and_withdraw(place: Place, share: Share) -> None:
    """Act until the file `stop` is there and nothing is left unanswered."""
    luck = random.Random(f"{share.seed} {os.getpid()}")  # noqa: S311 - which act comes next
    with opened(place):
        doom = Doom(share.record)
        while True:
            memory = remembered(share.record)
            stops = Path(share.stop).exists()
            if stops and memory.pending is None:
                return
            if memory.pending is None:
                person = luck.choice(share.people)
                name = "withdraw" if person in memory.held else "sign_up"
                number = f"{luck.getrandbits(128):032x}"
                write_down(share.record, asks=number, act=name, person=person)
                continue
            dies = not stops and luck.random() < share.dies_in
            points = [IN_TRANSACTION, BEFORE_COMMIT, AFTER_COMMIT]
            doom.point = luck.choice(points) if dies else ""
            if share.answers_first:  # the mutant: says yes before it is true
                write_down(share.record, answer=None)
                with suppress(RosterError):
                    act(share, memory.pending)
                continue
            answer = act(share, memory.pending)
            doom.at(AFTER_COMMIT)
            write_down(share.record, answer=answer)


class WrittenSender:
    """A mail server that keeps the identity of every message that it took."""

    def __init__(self, share: Share, luck: random.Random) -> None:
        self.share, self.luck = share, luck

    def send(self, message: EmailMessage) -> None:
        """Take the message; now and then the sender dies before it can mark it."""
        write_down(self.share.record, took=str(message["Message-ID"]))
        if self.luck.random() < self.share.dies_in and not Path(self.share.stop).exists():
            die(self.share.record, SENT_NOT_MARKED)


def send_mail(place: Place, share: Share) -> None:
    """Send what is due, a few at a time, until the file `stop` is there."""
    luck = random.Random(f"{share.seed} {os.getpid()}")  # noqa: S311 - when it dies
    with opened(place, LaterClock()):
        sender = WrittenSender(share, luck)
        while not Path(share.stop).exists():
            delivery.send_due(sender, f"mailer {share.seed} {os.getpid()}", batch=3)
