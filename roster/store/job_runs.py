"""Job slots: a row for each, claimed once, done once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Row, and_, func, or_, select, tuple_, update

from roster.store.models.messages import job_run
from roster.store.unit import Unit

TRIES = 5


@dataclass(frozen=True)
class JobRun:
    """What is known of one slot of one job."""

    job: str
    slot: str
    state: str
    tries: int
    said: str | None
    done_at: datetime | None


def _run(row: Row[Any]) -> JobRun:
    return JobRun(row.job, row.slot, row.state, row.tries, row.said, row.done_at)


class JobRuns:
    """Which slots ran. Leases are by the machine's clock."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def settled(self, slots: Iterable[tuple[str, str]]) -> set[tuple[str, str]]:
        """Of these (job, slot) pairs, those that need no run any more."""
        pairs = list(slots)
        found: set[tuple[str, str]] = set()
        for start in range(0, len(pairs), 200):
            rows = self.unit.run(
                select(job_run.c.job, job_run.c.slot).where(
                    tuple_(job_run.c.job, job_run.c.slot).in_(pairs[start : start + 200]),
                    job_run.c.state.in_(("done", "expired", "dead")),
                )
            )
            found.update((row.job, row.slot) for row in rows)
        return found

    def claim(self, job: str, slot: str, owner: str, now: datetime, lease: datetime) -> bool:
        """Take a slot that nobody has, that failed before, or whose owner's lease ran out."""
        j = job_run.c
        mine = and_(j.job == job, j.slot == slot)
        known = self.unit.run(select(j.state).where(mine).with_for_update()).one_or_none()
        if known is None:
            values = {"state": "claimed", "owner": owner, "lease": lease, "tries": 1}
            self.unit.run(job_run.insert().values(job=job, slot=slot, **values))
            return True
        done = self.unit.run(
            update(job_run)
            .where(mine, or_(j.state == "failed", and_(j.state == "claimed", j.lease < now)))
            .values(state="claimed", owner=owner, lease=lease, tries=j.tries + 1)
        )
        return done.rowcount == 1

    def done(self, job: str, slot: str, owner: str, said: str) -> bool:
        """Close a slot in the same unit as its effect; False if it is no longer the owner's."""
        j = job_run.c
        closed = self.unit.run(
            update(job_run)
            .where(j.job == job, j.slot == slot, j.owner == owner, j.state == "claimed")
            .values(state="done", said=said, done_at=self.unit.at, lease=None)
        )
        return closed.rowcount == 1

    def failed(self, job: str, slot: str, owner: str, said: str) -> str:
        """Keep that a try failed; the state after it: failed, or dead after the fifth."""
        j = job_run.c
        mine = and_(j.job == job, j.slot == slot, j.owner == owner)
        tries = self.unit.run(select(j.tries).where(mine)).scalar() or 0
        state = "dead" if tries >= TRIES else "failed"
        self.unit.run(update(job_run).where(mine).values(state=state, said=said, lease=None))
        return state

    def expire(self, job: str, slot: str, said: str) -> None:
        """Keep that a slot came too late to be of use."""
        j = job_run.c
        if self.unit.run(select(j.state).where(j.job == job, j.slot == slot)).first():
            self.unit.run(
                update(job_run)
                .where(j.job == job, j.slot == slot, j.state.in_(("failed", "claimed")))
                .values(state="expired", said=said)
            )
            return
        self.unit.run(job_run.insert().values(job=job, slot=slot, state="expired", said=said))

    def beat(self, job: str, slot: str, owner: str) -> None:
        """Keep the last sign of life under one slot."""
        j = job_run.c
        done = self.unit.run(
            update(job_run)
            .where(j.job == job, j.slot == slot)
            .values(state="done", owner=owner, done_at=self.unit.at)
        )
        if done.rowcount == 0:
            values = {"state": "done", "owner": owner, "done_at": self.unit.at}
            self.unit.run(job_run.insert().values(job=job, slot=slot, **values))

    def get(self, job: str, slot: str) -> JobRun | None:
        """One slot."""
        row = self.unit.run(
            select(job_run).where(job_run.c.job == job, job_run.c.slot == slot)
        ).one_or_none()
        return None if row is None else _run(row)

    def page(self, limit: int) -> list[JobRun]:
        """Slots, those that need a look first, then the last done."""
        troubled = job_run.c.state.in_(("dead", "failed", "expired"))
        rows = self.unit.run(
            select(job_run)
            .order_by(
                troubled.desc(),
                job_run.c.done_at.desc().nulls_last(),
                job_run.c.job,
                job_run.c.slot,
            )
            .limit(limit)
        )
        return [_run(row) for row in rows]

    def counts(self) -> dict[str, int]:
        """How many slots stand in each state."""
        counted = select(job_run.c.state, func.count().label("number")).group_by(job_run.c.state)
        return {row.state: int(row.number) for row in self.unit.run(counted)}

    def retry(self, job: str, slot: str) -> bool:
        """Let a dead or failed slot run again from its first try."""
        done = self.unit.run(
            update(job_run)
            .where(
                job_run.c.job == job,
                job_run.c.slot == slot,
                job_run.c.state.in_(("dead", "failed")),
            )
            .values(state="failed", tries=0, said="to run again")
        )
        return done.rowcount == 1
