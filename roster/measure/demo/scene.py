"""The clock of the demonstration and who acts: each act is done at its time, in order."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from roster.domain.people import Actor, system
from roster.measure.demo.crew import Crew
from roster.measure.demo.ground import Ground
from roster.measure.demo.people import Somebody
from roster.services import demo
from roster.services.clock import SetClock

HOME = ZoneInfo("America/Los_Angeles")
TODAY = date(2027, 6, 16)
"""The day on which the demonstration is looked at, a Wednesday."""


@dataclass
class Scene:
    """What stands so far, and the clock that goes on from act to act."""

    clock: SetClock
    crew: Crew = field(default_factory=Crew)
    ground: Ground = field(default_factory=Ground)
    events: dict[str, int] = field(default_factory=dict)
    office: Actor = field(default_factory=lambda: system("demo"))

    def at(self, day: date, hour: int, minute: int = 0) -> None:
        """Set the clock to a time of day at the programme's home."""
        self.clock.at = datetime.combine(day, time(hour, minute), HOME).astimezone(UTC)

    def number(self, somebody: Somebody) -> int:
        """The number of a person."""
        return self.crew.number(somebody)

    def acting(self, somebody: Somebody) -> Actor:
        """That person as the one who acts, with today's roles."""
        return demo.acting(self.number(somebody))
