"""Busy days and event summaries: made anew for all, compared with their facts, kept fresh daily."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from roster.domain.people import Actor
from roster.services import crewcheck
from roster.services.access import require_coordinator
from roster.services.jobs import Due
from roster.store.consistency import Difference
from roster.store.registry import Store
from roster.store.transaction import read, write

JOB = "summaries"
PART = 500
AT_HOUR = 9
"""UTC; before the first crew of the day goes out in the west (our own default)."""


def rebuild(actor: Actor) -> tuple[int, int]:
    """Work out everybody's busy days and every open event's summary; how many of each."""

    def body(store: Store) -> tuple[int, int]:
        require_coordinator(store)
        people = store.spots.with_busy_days()
        for part in _parts(people):
            store.spots.refresh_busy(part)
        events = _refresh_all(store)
        after = {"people": len(people), "events": events}
        store.unit.note("rebuilt", "busy", "all", after=after)
        return len(people), events

    return write(body, actor=actor)


def checked() -> list[Difference]:
    """Busy days and summaries that differ from what they are derived from; for `verify`.

    Of a summary the numbers are compared: its cautions may rightly change from day to day.
    """
    return read(lambda store: [*_busy(store), *_summaries(store)])


def due(at: datetime) -> list[Due]:
    """The slot that refreshes all summaries once a day: some cautions depend on the day."""
    if at.hour < AT_HOUR:
        return []
    effect = lambda store: f"{_refresh_all(store)} events"  # noqa: E731 - one line says it
    return [Due(JOB, f"{at:%Y-%m-%d}", at + timedelta(days=1), effect)]


def _refresh_all(store: Store) -> int:
    events = store.spots.events_not_over()
    for event in events:
        crewcheck.refresh(store, event)
    return len(events)


def _busy(store: Store) -> list[Difference]:
    found: list[Difference] = []
    for part in _parts(store.spots.with_busy_days()):
        wrong = store.spots.wrong_busy_days(part)
        found += [Difference("busy", root, str(k), str(c)) for root, (k, c) in wrong.items()]
    return found


def _summaries(store: Store) -> list[Difference]:
    found = []
    for event in store.spots.events_not_over():
        kept = store.summary.of(event)
        counted = crewcheck.numbers_in(store, event)
        if kept is None or kept.numbers != counted:
            told = "none" if kept is None else str(kept.numbers)
            found.append(Difference("event_summary", event, told, str(counted)))
    return found


def _parts(people: Sequence[int]) -> list[Sequence[int]]:
    return [people[i : i + PART] for i in range(0, len(people), PART)]
