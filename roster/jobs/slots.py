"""Which job slots are due at an instant: read from rows, so that any worker finds the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from roster.services import day_tables, offers, reminders, sweeping
from roster.services.jobs import Due

SOURCES: Sequence[Callable[[datetime], list[Due]]] = (
    reminders.due,
    offers.due,
    day_tables.due,
    sweeping.due,
)
"""Every job: a function from an instant to its slots that are due."""


def due(at: datetime) -> list[Due]:
    """All slots that are due, job by job."""
    return [slot for source in SOURCES for slot in source(at)]
