"""One change to many events, tried out first: what it may be, what bars it, when it is undone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from roster.domain.errors import BadInput
from roster.domain.events import Event, Stage
from roster.domain.reasons import Fact, Reason

MOST_EVENTS = 100
MOST_DAYS = 60


class Act(StrEnum):
    """What is done to each event."""

    MOVE = "move"
    CALL_OFF = "call_off"
    SWAP_LEAD = "swap_lead"


@dataclass(frozen=True)
class Wanted:
    """A change wanted: by how many days to move, or who is to lead; `why` is told to everybody."""

    act: Act
    days: int = 0
    lead: int | None = None
    why: str = ""


def check_wanted(wanted: Wanted, events: Sequence[int]) -> None:
    """BadInput for no event or too many, a move by no days or too many, a missing lead or why."""
    if not events:
        raise BadInput("event", "", Reason("trial_without_events"))
    if len(set(events)) > MOST_EVENTS:
        facts: dict[str, Fact] = {"n": len(set(events)), "most": MOST_EVENTS}
        raise BadInput("event", len(events), Reason("trial_too_many", facts))
    if wanted.act is Act.MOVE and not 0 < abs(wanted.days) <= MOST_DAYS:
        raise BadInput("days", wanted.days, Reason("trial_days", {"most": MOST_DAYS}))
    if wanted.act is Act.SWAP_LEAD and wanted.lead is None:
        raise BadInput("lead", "", Reason("trial_without_lead"))
    if not wanted.why.strip():
        raise BadInput("why", "", Reason("trial_without_why"))


def shifted(event: Event, days: int) -> tuple[datetime, datetime]:
    """Local start and end after a move by days; the time of day stays."""
    by = timedelta(days=days)
    return event.local_start + by, event.local_end + by


def bars(event: Event, wanted: Wanted, today: date) -> list[Reason]:
    """Why a trial leaves this event alone; empty if it may be tried.

    People who are out are called home by phone, never by a form over many events.
    """
    facts: dict[str, Fact] = {"event": event.id, "stage": event.stage}
    if event.stage is Stage.UNDER_WAY:
        return [Reason("trial_people_out", facts)]
    if event.stage.is_over:
        return [Reason("event_not_changeable", facts)]
    if wanted.act is Act.MOVE:
        last = shifted(event, wanted.days)[1].date()
        if last < today:
            return [Reason("event_day_is_past", {"event": event.id, "day": last})]
    return []


def in_order(events: Iterable[tuple[Stage, date, int]]) -> list[int]:
    """Numbers of events in the order of the page: those under way first, then by day."""
    ordered = sorted(events, key=lambda e: (e[0] is not Stage.UNDER_WAY, e[1], e[2]))
    return [number for _, _, number in ordered]


@dataclass(frozen=True)
class Left:
    """How a trial left an event and how it stands now: its version, its crew's, mails gone out."""

    event: int
    n: tuple[int, int]
    crew_version: tuple[int, int]
    mails_gone: int = 0


def bars_undo(stands: Iterable[Left]) -> list[Reason]:
    """Why a trial is not taken back any more: a mail has left, or somebody has acted on it."""
    found = []
    for one in stands:
        facts: dict[str, Fact] = {"event": one.event}
        if one.mails_gone:
            found.append(Reason("trial_mail_has_left", facts | {"n": one.mails_gone}))
        elif one.n[0] != one.n[1] or one.crew_version[0] != one.crew_version[1]:
            found.append(Reason("trial_acted_on", facts))
    return found
