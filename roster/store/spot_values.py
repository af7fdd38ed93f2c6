"""Small frozen rows of spots and of the people on a crew."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.geo import great_circle_km
from roster.domain.matching import travel_minutes
from roster.domain.people import Role
from roster.domain.spots import LIVE_STATES, OtherStay, SpotState


@dataclass(frozen=True)
class SpotRow:
    """A spot with its person; `root` is the person after merging."""

    id: int
    event: int
    person: int
    root: int
    name: str
    role: str
    state: str
    line_no: int | None
    offered_until: datetime | None
    changed_at: datetime
    born_on: date | None
    of_age_on: date | None
    household: str | None
    phone: str | None
    asked_n: int | None = None

    @property
    def is_asked_again(self) -> bool:
        """Whether a placed person was asked again after a move and has not answered."""
        return self.state == SpotState.OFFERED and self.asked_n is not None

    @property
    def is_live(self) -> bool:
        """Whether it takes up one of the event's spots."""
        return SpotState(self.state) in LIVE_STATES

    @property
    def as_role(self) -> Role:
        """What the person is on this event."""
        return Role(self.role)


@dataclass(frozen=True)
class StayRow:
    """Another event that a person is on, with its place."""

    person: int
    event: int
    title: str
    starts_at: datetime
    ends_at: datetime
    lat: float
    lon: float
    unpaved: int

    def seen_from(self, lat: float, lon: float) -> OtherStay:
        """The same as the rules know it, with the way from a place (as the crow flies x 1.4)."""
        km = great_circle_km(self.lat, self.lon, lat, lon)
        way = timedelta(minutes=travel_minutes(km, unpaved=bool(self.unpaved)))
        return OtherStay(self.event, self.title, self.starts_at, self.ends_at, way)


@dataclass(frozen=True)
class MyDayRow:
    """One event of a person, as My days shows it."""

    spot: int
    person: int
    event: int
    kind: str
    title: str
    site: int
    site_name: str
    stage: str
    date_state: str
    day: date
    last_day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str
    meeting: str
    role: str
    state: str
    line_no: int | None
    offered_until: datetime | None
    lat: float
    lon: float
    unpaved: int
    called_off_why: str | None
    asked_n: int | None = None

    def seen_from(self, lat: float, lon: float) -> OtherStay:
        """The same as the rules know it, with the way from a place (as the crow flies x 1.4)."""
        stay = StayRow(
            0, self.event, self.title, self.starts_at, self.ends_at, self.lat, self.lon,
            self.unpaved,
        )  # fmt: skip
        return stay.seen_from(lat, lon)


@dataclass(frozen=True)
class AskedRow:
    """An open question to a person to lead or to collect data."""

    event: int
    role: str
    title: str
    site_name: str
    date_state: str
    day: date
    last_day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str
    until: datetime | None


@dataclass(frozen=True)
class OpenRow:
    """An event that takes sign-ups, as Where help is needed shows it."""

    event: int
    kind: str
    title: str
    site: int
    site_name: str
    region: int
    stage: str
    date_state: str
    day: date
    last_day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str
    capacity: int
    taken: int
    waiting: int
    lat: float
    lon: float
    unpaved: int
    minutes_to_signal: int
    majority_age: int
    effort: str
    has_lead: int
    has_collector: int
