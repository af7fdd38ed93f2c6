"""Several unsent messages to one person become one; and back, if the act is taken back."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime

from sqlalchemy import func, or_, select, update

from roster.store.models.messages import outbox
from roster.store.outbox_values import UNSENT, Queued, queued
from roster.store.unit import Unit

MERGED = "told in one message"


class Merging:
    """Part of the queue: a message that another one tells is held; it counts as sent with it."""

    unit: Unit

    def unsent_of(self, events: Collection[int], *, copies: bool = False) -> list[Queued]:
        """Unsent messages about these events to people themselves, oldest first.

        With `copies` those to guardians too.
        """
        o = outbox.c
        query = select(outbox).where(
            o.event.in_(events), o.state.in_(UNSENT), o.person.is_not(None)
        )
        if not copies:
            query = query.where(o.guardian.is_(None))
        return [queued(row) for row in self.unit.run(query.order_by(o.id))]

    def hold(self, numbers: Collection[int]) -> None:
        """Hold messages that another message tells."""
        self._put(numbers, "held", MERGED)

    def release(self, versions: Mapping[int, int]) -> None:
        """Let messages go out again, each about a version of its event."""
        for number, n in versions.items():
            self.unit.run(
                update(outbox).where(outbox.c.id == number).values(state="waiting", said=None, n=n)
            )

    def part_sent(self, number: int) -> None:
        """A held message was told by another that has left."""
        self.unit.run(
            update(outbox)
            .where(outbox.c.id == number)
            .values(state="sent", said=MERGED, sent_at=self.unit.at)
        )

    def take_back_of(self, events: Collection[int], merged: str) -> None:
        """Cancel every unsent message about these events, and those whose mark begins so."""
        o = outbox.c
        self.unit.run(
            update(outbox)
            .where(o.state.in_(UNSENT), o.event.in_(events) | o.dedupe.startswith(merged))
            .values(state="cancelled", said="taken back unsent")
        )

    def gone_since(self, events: Collection[int], at: datetime, merged: str) -> dict[int, int]:
        """How many messages about each event have begun to leave since an instant.

        Those in one message with others are counted under the event 0.
        """
        o = outbox.c
        rows = self.unit.run(
            select(o.event, func.count().label("n"))
            .where(
                or_(o.made_at >= at, o.sent_at >= at, o.state.in_(("claimed", "sending"))),
                o.state.not_in((*UNSENT, "cancelled")),
                o.event.in_(events) | o.dedupe.startswith(merged),
            )
            .group_by(o.event)
        )
        return {row.event or 0: row.n for row in rows}

    def _put(self, numbers: Collection[int], state: str, said: str) -> None:
        self.unit.run(update(outbox).where(outbox.c.id.in_(numbers)).values(state=state, said=said))
