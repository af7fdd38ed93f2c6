"""After a move each placed person is asked again: the spot is kept, but counts with a yes only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from roster.domain.events import Event
from roster.domain.moving import answer_again_by
from roster.domain.spots import SpotState
from roster.services import links, spots
from roster.store.event_values import EventRow
from roster.store.links import Link
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import read, write

PURPOSE = "answer_move"
WHY = "asked again"


@dataclass(frozen=True)
class AnswerPage:
    """What stands behind the link of a mail that asks again; `open` while an answer is wanted."""

    event: EventRow
    name: str
    role: str
    state: str
    until: datetime | None
    open: bool


def page(token: str) -> AnswerPage:
    """The question of a link; BadInput (`link_dead`) if it is not good."""

    def body(store: Store) -> AnswerPage:
        link, row = _opened(store, token)
        event = store.events.row(link.object_id)
        state = row.state if row else SpotState.WITHDRAWN.value
        is_open = row is not None and row.is_asked_again and event.stage in ("open", "ready")
        name, role = (row.name, row.role) if row else ("", "crew_member")
        return AnswerPage(event, name, role, state, row.offered_until if row else None, is_open)

    return read(body)


def answer(token: str, yes: bool, operation: str | None = None) -> str:
    """Yes or no by the link of a mail, without signing in; gives the state that follows.

    RuleBroken with every reason if the person may not come on the new day.
    """
    actor = links.actor_of(links.opened(token, PURPOSE))

    def body(store: Store) -> str:
        link, row = _opened(store, token)
        person = link.person or 0
        event = store.events.locked(link.object_id)
        if row is not None and not row.is_asked_again:
            return row.state
        if yes:
            return str(spots.accept_in(store, event, person)["state"])
        return str(spots.decline_in(store, event, person)["state"])

    return write(body, actor=actor, operation=operation)


def _opened(store: Store, token: str) -> tuple[Link, SpotRow | None]:
    link = links.find(store, token, PURPOSE)
    return link, store.spots.one(link.object_id, link.person or 0)


def ask_again_in(store: Store, event: Event, n: int) -> dict[int, int]:
    """Inside a move: every placed person is asked again about revision `n`.

    Their spots are kept and count with a yes only. Gives the number of each person's link.
    """
    rows = [
        s for s in store.spots.of_event(event.id) if s.state == SpotState.PLACED or s.is_asked_again
    ]
    until = answer_again_by(event.starts_at, store.unit.at)
    found = {}
    for row in rows:
        store.spots.change(row, SpotState.OFFERED, WHY, offered_until=until, asked_n=n)
        holder = links.Holder(person=row.person)
        link = links.make(store, PURPOSE, ("event", event.id), event.starts_at, holder)
        found[row.person] = link.id
        store.unit.note(
            "asked_again", "event", event.id, region=event.region, after={"person": row.person}
        )
    if rows:
        store.spots.recount(event.id)
    return found
