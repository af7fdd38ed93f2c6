"""Small frozen rows about people as leads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple


class Near(NamedTuple):
    """One person cleared on the day; `dot` the cosine of the angle to the site, None if unknown."""

    person: int
    dot: float | None


@dataclass(frozen=True)
class LeadRow:
    """What a person has said of themselves, for ranking."""

    person: int
    name: str
    x: float | None
    y: float | None
    z: float | None
    weekdays: int | None
    minutes_drive: int | None
    per_month: int | None


@dataclass(frozen=True)
class Doing:
    """One event that a person is on, by spot or by agreeing to a role."""

    person: int
    event: int
    day: date
    last_day: date
    site: int


@dataclass(frozen=True)
class AskRow:
    """One question to a person to take a role on an event."""

    id: int
    event: int
    person: int
    name: str
    role: str
    state: str
    until: datetime | None
    asked_at: datetime
    answered_at: datetime | None


@dataclass(frozen=True)
class Reach:
    """Where and when people are looked for: role, day, unit vector of the site, least cosine."""

    role: str
    day: date
    at: tuple[float, float, float]
    least: float = -1.0
