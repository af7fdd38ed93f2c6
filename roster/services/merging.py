"""One message a person about several events: the single ones are held and told in it."""

from __future__ import annotations

from collections.abc import Callable, Collection

from roster.mail.wording import Kind, Letter
from roster.services.mail_scenes import Also, Written
from roster.services.messages import queue
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.store.wiring import wiring


def mark(trial: int) -> str:
    """How the marks of the messages of a trial begin."""
    return f"several:{trial}:"


def merge_in(store: Store, trial: int, events: Collection[int]) -> int:
    """Inside an act over many events: whoever has several unsent messages gets one.

    Gives to how many people something is told.
    """
    mine: dict[int, list[Queued]] = {}
    for row in store.outbox.unsent_of(events):
        mine.setdefault(row.person or 0, []).append(row)
    for person, rows in mine.items():
        if len(rows) < 2:
            continue
        store.outbox.hold([row.id for row in rows])
        facts = {f"m{n}": row.id for n, row in enumerate(rows, 1)}
        queue(
            store, Kind.SEVERAL, person=person, facts=facts, dedupe=f"{mark(trial)}{person}",
            safety=any(row.safety for row in rows),
        )  # fmt: skip
    return len(mine)


def several(
    store: Store, row: Queued, written: Callable[[Store, Queued], Written | None]
) -> Written | None:
    """The one mail for several messages that still have something to say, None if none has."""
    parts = []
    for number in row.facts.values():
        part = store.outbox.get(number)
        if part is None or part.state not in ("held", "sent"):
            continue
        found = written(store, part)
        if found is not None:
            parts.append((part, found))
    if not parts:
        return None
    first = parts[0][1]
    letter = Letter(
        kind=Kind.SEVERAL,
        language=first.letter.language,
        programme=first.letter.programme,
        name=first.letter.name,
        links={"my_days": f"{wiring().config.base_url}/days"},
        facts={"items": [found.letter for _, found in parts]},
    )
    more = tuple(Also(part.id, part.event or 0, found.sent_n, found.part) for part, found in parts)
    return Written(first.to, letter, more=more)
