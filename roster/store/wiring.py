"""What the application handed to the store: settings and the clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, cast

from flask import current_app

from roster.config import Config


class Clock(Protocol):
    """Tells the time; `now` may be shifted to a demo day, `machine_now` never is."""

    def now(self) -> datetime:
        """The instant (UTC) that rules and records go by."""

    def machine_now(self) -> datetime:
        """The machine's own instant (UTC), for leases, sessions, codes and rate windows."""


@dataclass(frozen=True)
class Wiring:
    """Settings and clock of the running application."""

    config: Config
    clock: Clock


def wiring() -> Wiring:
    """The wiring of the current application context."""
    return cast(Wiring, current_app.extensions["roster"])
