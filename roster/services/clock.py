"""The one module that asks the machine what time it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from roster.store.wiring import wiring


@dataclass(frozen=True)
class MachineClock:
    """The machine's clock; with `day` set, its date is that day and its time of day stays."""

    day: date | None = None

    def machine_now(self) -> datetime:
        """The machine's instant, UTC."""
        return datetime.now(UTC)

    def now(self) -> datetime:
        """The instant that rules go by, UTC."""
        real = self.machine_now()
        if self.day is None:
            return real
        return datetime.combine(self.day, real.timetz())


@dataclass
class SetClock:
    """A clock that stands where it was set; for tests and `jobs run --at`."""

    at: datetime

    def now(self) -> datetime:
        """The set instant."""
        return self.at

    def machine_now(self) -> datetime:
        """The set instant."""
        return self.at

    def forward(self, step: timedelta) -> None:
        """Move the clock on."""
        self.at += step


def now() -> datetime:
    """The instant that rules and records go by, UTC."""
    return wiring().clock.now()


def machine_now() -> datetime:
    """The machine's instant, for leases, sessions, codes and rate windows."""
    return wiring().clock.machine_now()


def today(time_zone: str) -> date:
    """The local date in a named time zone."""
    return now().astimezone(ZoneInfo(time_zone)).date()
