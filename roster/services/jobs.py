"""Job slots: claimed as rows, so that any number of workers runs each once.

The effect of a slot and the word `done` commit together; a worker that dies leaves a lease.
"""

from __future__ import annotations

import logging
import socket
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from os import getpid
from typing import cast

from roster.domain.errors import BadInput, Conflict, NotFound
from roster.domain.people import Actor, system
from roster.domain.reasons import Reason
from roster.services import access
from roster.services.clock import machine_now
from roster.store.job_runs import JobRun
from roster.store.registry import Store
from roster.store.transaction import read, write

log = logging.getLogger(__name__)
LEASE = timedelta(minutes=10)
_HEART = ("heartbeat", "worker")

Effect = Callable[[Store], str]


@dataclass(frozen=True)
class Due:
    """A slot that is due: done until `useless_at`, afterwards only marked as missed."""

    job: str
    slot: str
    useless_at: datetime
    effect: Effect


def owner_name() -> str:
    """The name under which this process holds leases."""
    return f"{socket.gethostname()}:{getpid()}"


def run(slots: list[Due], owner: str, at: datetime) -> list[str]:
    """Run those slots that nobody has run; what was said of each, in order."""
    if not slots:
        return []
    pairs = [(d.job, d.slot) for d in slots]
    settled = read(lambda store: store.job_runs.settled(pairs))
    return [_one(d, owner, at) for d in slots if (d.job, d.slot) not in settled]


def _one(due: Due, owner: str, at: datetime) -> str:
    name = f"{due.job} {due.slot}"
    actor = system(f"job:{due.job}")
    if at >= due.useless_at:
        said = f"too late at {at:%Y-%m-%d %H:%M}Z"
        write(lambda store: store.job_runs.expire(due.job, due.slot, said), actor=actor)
        log.warning("job %s expired: %s", name, said)
        return f"{name}: expired"
    if not _claimed(due, owner, actor):
        return f"{name}: taken"
    try:
        return f"{name}: {write(lambda store: _effect(store, due, owner), actor=actor)}"
    except _LostError:
        return f"{name}: taken"
    except Exception as error:
        log.exception("job %s failed", name)
        text = type(error).__name__
        state = write(
            lambda store: store.job_runs.failed(due.job, due.slot, owner, text), actor=actor
        )
        return f"{name}: {state}"


class _LostError(Exception):
    """Another worker took the slot over: nothing of ours may commit."""


def _claimed(due: Due, owner: str, actor: Actor) -> bool:
    now = machine_now()
    try:
        return write(
            lambda store: store.job_runs.claim(due.job, due.slot, owner, now, now + LEASE),
            actor=actor,
        )
    except Conflict:
        return False  # two workers put the row in at once


def _effect(store: Store, due: Due, owner: str) -> str:
    said = due.effect(store)
    if not store.job_runs.done(due.job, due.slot, owner, said):
        raise _LostError
    return said


def beat(owner: str) -> None:
    """Give a sign of life."""
    write(lambda store: store.job_runs.beat(*_HEART, owner), actor=system("job:heartbeat"))


def heartbeat_age_seconds() -> float | None:
    """How long ago the worker last gave a sign of life; None if never."""

    def look(store: Store) -> float | None:
        last = store.job_runs.get(*_HEART)
        if last is None or last.done_at is None:
            return None
        return (store.unit.at - last.done_at).total_seconds()

    return read(look)


def listing(limit: int = 50) -> list[JobRun]:
    """Slots, those that need a look first."""
    return read(lambda store: store.job_runs.page(limit))


def counts() -> dict[str, int]:
    """How many slots stand in each state."""
    return read(lambda store: store.job_runs.counts())


def retry(actor: Actor, job: str, slot: str) -> None:
    """Let a dead slot run again; BadInput if it is not dead or failed."""

    def body(store: Store) -> None:
        access.require_coordinator(store)
        known = store.job_runs.get(job, slot)
        if known is None:
            raise NotFound("job", f"{job} {slot}")
        if not store.job_runs.retry(job, slot):
            facts = cast(dict[str, str | int | None], {"slot": f"{job} {slot}"})
            raise BadInput("slot", slot, Reason("job_not_to_retry", facts | {"state": known.state}))
        store.unit.note("retry", "job", f"{job} {slot}")

    write(body, actor=actor)
