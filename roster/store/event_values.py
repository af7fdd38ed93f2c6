"""Small frozen rows of events, for pages and lists."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from roster.domain.decide import Standing
from roster.domain.events import DateState, EventKind, Stage
from roster.domain.reasons import Level, Reason
from roster.store.packed import unpacked


@dataclass(frozen=True)
class EventRow:
    """An event as its page shows it; local times without a zone, `*_at` instants."""

    id: int
    uid: str
    kind: str
    title: str
    season: int
    site: int
    site_name: str
    region: int
    region_name: str
    stage: str
    date_state: str
    outcome: str | None
    outcome_why: str | None
    called_off_why: str | None
    capacity: int
    taken: int
    minimum_crew: int
    coverage: int
    vehicles: int
    local_start: datetime
    local_end: datetime
    time_zone: str
    starts_at: datetime
    ends_at: datetime
    day: date
    last_day: date
    meeting: str
    notes: str
    duty_person: int | None
    duty_name: str | None
    duty_phone: str | None
    stand_in: int | None
    stand_in_name: str | None
    stand_in_phone: str | None
    manager_told_on: date | None
    n: int
    sequence: int
    crew_version: int
    begun_at: datetime | None
    closed_at: datetime | None
    walk_out_minutes: int
    minutes_to_signal: int


class EventSort(StrEnum):
    """In which order a list of events comes."""

    DAY = "day"
    TITLE = "title"
    SITE = "site"
    STAGE = "stage"


@dataclass(frozen=True)
class EventFilter:
    """Which events a list shows; None means any."""

    regions: Collection[int] | None
    stages: Collection[str] | None = None
    kind: str | None = None
    first: date | None = None
    last: date | None = None
    search: str = ""
    site: int | None = None
    population: int | None = None
    sort: EventSort = EventSort.DAY
    backwards: bool = False


@dataclass(frozen=True)
class EventLine:
    """An event as a list shows it, with what is derived for it."""

    id: int
    kind: str
    title: str
    site_name: str
    region_name: str
    stage: str
    date_state: str
    day: date
    last_day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str
    capacity: int
    taken: int
    short: int
    stops: int
    cautions: int
    lead_name: str | None


@dataclass(frozen=True)
class StandingRow:
    """An event with all that To decide asks of it, names included."""

    event: int
    kind: str
    title: str
    stage: str
    date_state: str
    day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str
    capacity: int
    taken: int
    duty_person: int | None
    stand_in: int | None
    walk_out_minutes: int
    minutes_to_signal: int
    short: int
    leads: int
    findings: str
    lead_name: str | None
    asked_name: str | None
    out: int

    def standing(self, best_lead: str | None = None) -> Standing:
        """The same as the rules know it; back and clock times are left to `event_times`."""
        stops, cautions, land = split_findings(self.findings)
        return Standing(
            self.event,
            EventKind(self.kind),
            Stage(self.stage),
            DateState(self.date_state),
            self.title,
            self.day,
            self.starts_at,
            self.ends_at,
            time_zone=self.time_zone,
            capacity=self.capacity,
            placed=self.taken,
            short=self.short,
            lead=self.lead_name or "",
            lead_cleared=self.leads > 0 or not self.lead_name,
            asked_lead=self.asked_name or "",
            best_lead=best_lead,
            stops=stops,
            cautions=cautions,
            land_stops=land,
            has_duty=self.duty_person is not None and self.stand_in is not None,
            out=self.out,
        )


LAND_CODES = frozenset(
    {
        "permission_missing",
        "permission_not_in_force",
        "permission_lacks_taxon",
        "permission_people",
        "permission_vehicles",
        "listed_without_permit",
        "population_not_wild",
        "closed",
        "closed_until_lifted",
    }
)
"""Stops that the land itself gives."""


def split_findings(
    kept: str,
) -> tuple[tuple[Reason, ...], tuple[Reason, ...], tuple[Reason, ...]]:
    """Stops, cautions and the land's stops of an event summary's findings."""
    stops: list[Reason] = []
    cautions: list[Reason] = []
    land: list[Reason] = []
    for finding in unpacked(kept or "[]"):
        if finding.level is Level.CAUTION:
            cautions.append(finding.reason)
        elif finding.level is Level.STOP:
            (land if finding.reason.code in LAND_CODES else stops).append(finding.reason)
    return tuple(stops), tuple(cautions), tuple(land)
