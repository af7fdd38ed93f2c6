"""Messages still to be sent, being sent, sent: kinds and ids only, never their text."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import and_, func, or_, select, update

from roster.store.models.events import seen
from roster.store.models.messages import outbox
from roster.store.models.people import person
from roster.store.outbox_merging import Merging
from roster.store.outbox_values import UNSENT, NewMessage, Queued, Told, queued
from roster.store.unit import Unit


class Outbox(Merging):
    """The queue. Leases are by the machine's clock, everything else by the unit's instant."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add(self, new: NewMessage) -> int | None:
        """Queue a message; None if the same thing (its `dedupe`) was queued before."""
        known = select(outbox.c.id).where(outbox.c.dedupe == new.dedupe)
        if self.unit.run(known).first():
            return None
        return self.unit.insert(
            outbox,
            kind=new.kind,
            **{"class": new.once},
            safety=int(new.safety),
            event=new.event,
            n=new.n,
            person=new.person,
            address=new.address,
            guardian=new.guardian,
            facts=json.dumps(dict(new.facts or {}), sort_keys=True),
            made_at=self.unit.at,
            not_before=new.not_before,
            state="waiting",
            message_id=new.message_id,
            dedupe=new.dedupe,
        )

    def renew(self, event: int, kinds: Collection[str], n: int) -> set[int]:
        """Let unsent messages of these kinds speak of revision `n`; the people so covered."""
        if not kinds:
            return set()
        done = self.unit.run(
            update(outbox)
            .where(
                outbox.c.event == event,
                outbox.c.kind.in_(kinds),
                outbox.c.state.in_(UNSENT),
                outbox.c.person.is_not(None),
                outbox.c.guardian.is_(None),
            )
            .values(n=n)
            .returning(outbox.c.person)
        )
        return {int(p) for p in done.scalars()}

    def renew_guardians(self, event: int, n: int) -> None:
        """Let unsent copies for guardians speak of revision `n`."""
        self.unit.run(
            update(outbox)
            .where(
                outbox.c.event == event,
                outbox.c.guardian.is_not(None),
                outbox.c.state.in_(UNSENT),
            )
            .values(n=n)
        )

    def last_of(self, event: int, person: int) -> int | None:
        """The newest message about the event to this person themselves."""
        return self.unit.run(
            select(func.max(outbox.c.id)).where(
                outbox.c.event == event, outbox.c.person == person, outbox.c.guardian.is_(None)
            )
        ).scalar()

    def cancel(self, event: int, kinds: Collection[str], person: int | None = None) -> int:
        """Take unsent messages back (of one person, or of all); how many."""
        mine = [outbox.c.person == person] if person is not None else []
        done = self.unit.run(
            update(outbox)
            .where(
                outbox.c.event == event,
                outbox.c.kind.in_(kinds),
                outbox.c.state.in_(UNSENT),
                *mine,
            )
            .values(state="cancelled", said="taken back unsent")
        )
        return int(done.rowcount)

    def count_of(self, event: int, person: int) -> int:
        """How many messages about the event this person has had in the queue."""
        counted = select(func.count()).where(outbox.c.event == event, outbox.c.person == person)
        return int(self.unit.run(counted).scalar_one())

    def claim(self, owner: str, now: datetime, lease: datetime, limit: int) -> list[Queued]:
        """Take the next due messages (safety first) for `owner` until `lease`.

        What an owner left behind when its lease ran out is taken again, but for a message
        of the at-most-once class that had begun to leave: nobody knows, so it stays `unknown`.
        """
        o = outbox.c
        self.unit.run(
            update(outbox)
            .where(o.state == "sending", o.lease < now)
            .values(state="unknown", said="the worker stopped while it was sending")
        )
        due = (
            select(outbox)
            .where(
                or_(
                    and_(o.state == "waiting", o.not_before <= self.unit.at),
                    and_(o.state == "claimed", o.lease < now),
                )
            )
            .order_by(o.safety.desc(), o.not_before, o.id)
            .limit(limit)
            .with_for_update(skip_locked=True)
        )
        rows = self.unit.run(due).all()
        if rows:
            self.unit.run(
                update(outbox)
                .where(o.id.in_([r.id for r in rows]))
                .values(state="claimed", owner=owner, lease=lease, tries=o.tries + 1)
            )
        return [queued(row) for row in rows]

    def begin_sending(self, number: int, owner: str) -> bool:
        """Say that a message is about to leave; False if it is no longer the owner's."""
        return self._moved(number, owner, ("claimed",), state="sending")

    def finish(self, number: int, owner: str, state: str, said: str | None) -> bool:
        """The end of a message: sent, failed, unknown or cancelled."""
        sent = {"sent_at": self.unit.at} if state == "sent" else {}
        return self._moved(
            number, owner, ("claimed", "sending"), state=state, said=said, lease=None, **sent
        )

    def again(self, number: int, owner: str, not_before: datetime, said: str) -> bool:
        """Put a message back for a later try."""
        return self._moved(
            number,
            owner,
            ("claimed", "sending"),
            state="waiting",
            not_before=not_before,
            said=said,
            lease=None,
        )

    def _moved(self, number: int, owner: str, states: Iterable[str], **values: Any) -> bool:
        done = self.unit.run(
            update(outbox)
            .where(outbox.c.id == number, outbox.c.owner == owner, outbox.c.state.in_(list(states)))
            .values(**values)
        )
        return done.rowcount == 1

    def retry(self, number: int) -> bool:
        """Give a message that failed, or of which nobody knows, five tries more."""
        done = self.unit.run(
            update(outbox)
            .where(outbox.c.id == number, outbox.c.state.in_(("failed", "unknown")))
            .values(state="waiting", tries=0, not_before=self.unit.at, said=None)
        )
        return done.rowcount == 1

    def get(self, number: int) -> Queued | None:
        """One message."""
        row = self.unit.run(select(outbox).where(outbox.c.id == number)).one_or_none()
        return None if row is None else queued(row)

    def page(self, before: int | None, limit: int, states: Collection[str] = ()) -> list[Queued]:
        """Messages, newest first, below number `before`."""
        wanted = select(outbox).order_by(outbox.c.id.desc()).limit(limit)
        if before is not None:
            wanted = wanted.where(outbox.c.id < before)
        if states:
            wanted = wanted.where(outbox.c.state.in_(states))
        return [queued(row) for row in self.unit.run(wanted)]

    def counts(self) -> dict[str, int]:
        """How many messages stand in each state."""
        counted = select(outbox.c.state, func.count().label("number")).group_by(outbox.c.state)
        return {row.state: int(row.number) for row in self.unit.run(counted)}

    def thread_of(self, event: int, person: int) -> str | None:
        """The Message-ID of the first mail that went to this person about the event."""
        first = (
            select(outbox.c.message_id)
            .where(
                outbox.c.event == event,
                outbox.c.person == person,
                outbox.c.guardian.is_(None),
                outbox.c.state == "sent",
            )
            .order_by(outbox.c.id)
            .limit(1)
        )
        return self.unit.run(first).scalar()

    def told(self, event: int) -> list[Told]:
        """Every message of an event with its person and *Seen it*, newest first (at most 200)."""
        rows = self.unit.run(
            select(outbox, person.c.name, seen.c.at.label("seen_at"))
            .join(person, person.c.id == outbox.c.person)
            .outerjoin(
                seen,
                and_(
                    seen.c.event == outbox.c.event,
                    seen.c.n == outbox.c.n,
                    seen.c.person == outbox.c.person,
                ),
            )
            .where(outbox.c.event == event, outbox.c.guardian.is_(None))
            .order_by(outbox.c.id.desc())
            .limit(200)
        )
        return [
            Told(r.person, r.name, r.kind, r.n, r.state, bool(r.safety), r.sent_at, r.seen_at)
            for r in rows
        ]

    def see(self, event: int, n: int, who: int) -> bool:
        """Keep that a person has seen revision `n`; False if that was known already."""
        s = seen.c
        known = select(s.at).where(s.event == event, s.n == n, s.person == who)
        if self.unit.run(known).first():
            return False
        self.unit.run(seen.insert().values(event=event, n=n, person=who, at=self.unit.at))
        return True
