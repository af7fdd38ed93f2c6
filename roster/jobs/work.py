"""One pass of the worker: slots first, then the mail they made, then the kept feeds."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import datetime

from flask import Flask

from roster.jobs.slots import due
from roster.services import delivery, feeds, jobs
from roster.services.clock import SetClock, now

MOST_BATCHES = 1000


def tick() -> list[str]:
    """Run the slots that are due now."""
    at = now()
    return jobs.run(due(at), jobs.owner_name(), at)


def send_mail() -> Counter[str]:
    """Send all mail that is due now, batch by batch."""
    sender, owner = delivery.sender_of_settings(), jobs.owner_name()
    total: Counter[str] = Counter()
    for _ in range(MOST_BATCHES):
        done = delivery.send_due(sender, owner)
        total += done
        if sum(done.values()) < delivery.BATCH:
            break
    return total


def one_pass(app: Flask, at: datetime | None = None) -> list[str]:
    """Everything that is due, once; with `at`, as if it were that instant."""
    with app.app_context():
        kept = app.extensions["roster"]
        if at is not None:
            app.extensions["roster"] = replace(kept, clock=SetClock(at))
        try:
            lines = tick()
            mail = send_mail()
            fresh = feeds.refresh_kept()
            jobs.beat(jobs.owner_name())
        finally:
            app.extensions["roster"] = kept
    told = ", ".join(f"{count} {state}" for state, count in sorted(mail.items()))
    return [*lines, f"mail: {told or 'nothing due'}", f"feeds: {fresh} made ready"]
