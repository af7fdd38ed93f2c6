"""Reminders, first form: two days before an event, one mail to each person on the crew.

Slots are named by the event's own local day, so that a clock change can neither double nor
skip one, and an event that is moved gets a reminder of its new day.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial

from roster.mail.wording import Kind
from roster.services.jobs import Due
from roster.services.messages import queue
from roster.store.registry import Store
from roster.store.reminders import ToRemind
from roster.store.transaction import read

JOB = "reminders"
BEFORE = timedelta(hours=48)
TOO_LATE = timedelta(hours=6)
"""A reminder that would leave later than this before the start helps nobody (our default)."""


def due(at: datetime) -> list[Due]:
    """The reminder slots that are due at an instant, soonest event first."""
    soon = read(lambda store: store.reminders.fixed_events(at, at + BEFORE))
    return [
        Due(JOB, f"event {e.event} on {e.day} 48h", e.starts_at - TOO_LATE, partial(_remind, one=e))
        for e in soon
    ]


def _remind(store: Store, one: ToRemind) -> str:
    """Queue the reminder of one event for each person who takes part."""
    queued = 0
    for person in store.invitations.concerned(one.event):
        if person.takes_part:
            known = f"{Kind.REMINDER}:{one.event}:{one.day}:{person.person}"
            mail = queue(
                store, Kind.REMINDER, event=one.event, n=one.n, person=person.person, dedupe=known
            )
            queued += mail is not None
    return f"{queued} queued"
