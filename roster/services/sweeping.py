"""What is over and nobody needs is taken away once a day: keeping times of the column register."""

from __future__ import annotations

from datetime import datetime, timedelta

from roster.services import sessions
from roster.services.clock import machine_now
from roster.services.jobs import Due
from roster.store.registry import Store

JOB = "sweep"
OPERATIONS_KEPT = timedelta(days=30)


def due(at: datetime) -> list[Due]:
    """The day's slot; it may be done until the next day begins."""
    return [Due(JOB, f"{at:%Y-%m-%d}", at + timedelta(days=1), sweep)]


def sweep(store: Store) -> str:
    """Take away ended sessions, sign-ins and rate windows, and answers older than 30 days."""
    now = machine_now()
    gone = sessions.sweep_in(store) + store.rates.sweep(now)
    return f"{gone + store.operations.sweep(now - OPERATIONS_KEPT)} rows"
