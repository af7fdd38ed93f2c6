"""The worker: ticks in UTC; which slots are due is read from rows, never from a schedule."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from flask import Flask


@dataclass(frozen=True)
class Worker:
    """What the command line starts; the scheduler is loaded only then."""

    app: Flask

    def once(self, at: datetime | None = None) -> list[str]:
        """One pass over everything that is due; what was done, line by line."""
        from roster.jobs.work import one_pass

        return one_pass(self.app, at)

    def forever(self) -> None:
        """Work until the process is told to stop."""
        from roster.jobs.ticker import run

        run(self.app)


def wire(app: Flask) -> None:
    """Leave the worker where the command line finds it."""
    app.extensions["roster_jobs"] = Worker(app)
