"""What makes up a new event: what was asked for, and the values that follow from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.errors import BadInput
from roster.domain.event_times import span_to_utc, window_to_utc
from roster.domain.events import DateState, EventKind
from roster.domain.reasons import Reason
from roster.store.places import SiteRow
from roster.store.plant_values import PopulationRow

MINIMUM_WITH_COVERAGE = 3
MINIMUM_WITHOUT = 4
LONGEST_WINDOW = timedelta(days=60)


@dataclass(frozen=True)
class NewEvent:
    """An event to create. Local times are those of the meeting point.

    While the date is `expected`, they are the first day's start and the last day's end.
    `minimum_crew` None means 3 where there is coverage, 4 where there is none, 1 for a training
    or a meeting.
    """

    kind: EventKind
    site: int
    local_start: datetime
    local_end: datetime
    capacity: int
    populations: tuple[int, ...] = ()
    date_state: DateState = DateState.FIXED
    title: str = ""
    minimum_crew: int | None = None
    vehicles: int = 0
    meeting: str = ""
    notes: str = ""
    duty_person: int | None = None
    stand_in: int | None = None


def check_populations(new: NewEvent, site: SiteRow, populations: Sequence[PopulationRow]) -> None:
    """BadInput for an event in the field without populations, or with one of another site."""
    if new.kind.in_the_field and not populations:
        raise BadInput("populations", "", Reason("event_needs_population"))
    for p in populations:
        if p.site != site.id:
            facts = {"population": p.title, "site": site.name}
            raise BadInput("populations", p.id, Reason("population_elsewhere", facts))


def instants(new: NewEvent, time_zone: str) -> tuple[datetime, datetime]:
    """Start and end in UTC; a fixed event lasts days at most, an expected window weeks."""
    if new.date_state is DateState.FIXED:
        return span_to_utc(new.local_start, new.local_end, time_zone)
    if new.local_end - new.local_start > LONGEST_WINDOW:
        facts = {"days": LONGEST_WINDOW.days}
        raise BadInput("local_end", new.local_end, Reason("window_too_long", facts))
    return window_to_utc(new.local_start, new.local_end, time_zone)


def possible_days(new: NewEvent) -> list[date]:
    """The days of an expected window; none for a fixed day."""
    if new.date_state is DateState.FIXED:
        return []
    first = new.local_start.date()
    return [first + timedelta(days=i) for i in range((new.local_end.date() - first).days + 1)]


def minimum_crew_of(new: NewEvent, coverage: bool) -> int:
    """What was asked for, else 3 with coverage and 4 without (common practice, no source)."""
    if new.minimum_crew is not None:
        return new.minimum_crew
    if not new.kind.in_the_field:
        return 1
    return MINIMUM_WITH_COVERAGE if coverage else MINIMUM_WITHOUT


def title_of(kind: EventKind, site: SiteRow, populations: Sequence[PopulationRow]) -> str:
    """Species and site, as in "Arrowleaf balsamroot at Marrow Butte"."""
    plants = dict.fromkeys(p.common_name or p.taxon_name for p in populations)
    named = " and ".join(plants) or {"training": "Training", "meeting": "Meeting"}.get(kind, "")
    return f"{named[:1].upper()}{named[1:]} at {site.name}"[:200]
