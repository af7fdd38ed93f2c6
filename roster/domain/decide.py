"""To decide: what stands before the coordinator, each row with its one next step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from roster.domain.events import DateState, EventKind, Stage
from roster.domain.reasons import Fact, Level, Reason

SOON = timedelta(hours=72)
DRAFT_OPEN_DAYS = 21
"""A draft this near should be opened or called off (our own default)."""


class Group(StrEnum):
    """The three groups of the first screen, in this order."""

    OUT_NOW = "out_now"
    NEXT_72_HOURS = "next_72_hours"
    LATER = "later"


class NextStep(StrEnum):
    """The one thing to do about a row."""

    SHOW_HEAD_COUNT = "show_head_count"
    ASK_AFTER_CREW = "ask_after_crew"
    CLOSE_EVENT = "close_event"
    CALL_OFF = "call_off"
    SETTLE_LAND = "settle_land"
    ASK_LEAD = "ask_lead"
    INVITE_CREW = "invite_crew"
    NAME_DUTY = "name_duty"
    SHOW_CHECK = "show_check"
    OPEN_EVENT = "open_event"
    MARK_READY = "mark_ready"
    FIX_DAY = "fix_day"
    CREATE_EVENT = "create_event"
    HAND_OVER = "hand_over"


@dataclass(frozen=True)
class Standing:
    """One event as To decide sees it (a derived summary, no names of crew).

    `stops` and `cautions` are the crew check's reasons now; `best_lead` the first of the ranking,
    empty if there is none, None if nobody has looked;
    `out` how many have been counted out and not in; `back_at` when they are expected, `clock_at`
    from when they count as late.
    """

    event: int
    kind: EventKind
    stage: Stage
    date_state: DateState
    title: str
    first_day: date
    starts_at: datetime
    ends_at: datetime
    time_zone: str = "UTC"
    capacity: int = 0
    placed: int = 0
    short: int = 0
    lead: str = ""
    lead_cleared: bool = True
    asked_lead: str = ""
    best_lead: str | None = None
    stops: tuple[Reason, ...] = ()
    cautions: tuple[Reason, ...] = ()
    land_stops: tuple[Reason, ...] = ()
    has_duty: bool = True
    out: int = 0
    back_at: datetime | None = None
    clock_at: datetime | None = None


@dataclass(frozen=True)
class Decision:
    """One row: group, level, what and why as reasons, and the one next step."""

    group: Group
    level: Level
    headline: Reason
    step: NextStep
    event: int | None
    due_at: datetime
    why: tuple[Reason, ...] = ()


def decision(standing: Standing, now: datetime) -> Decision | None:
    """What stands to decide about this event, or None if it is clear.

    The first rule that holds, gravest first.
    """
    rules = (
        _people_out,
        _time_is_over,
        _land,
        _draft,
        _no_day,
        _lead,
        _crew,
        _duty,
        _other_stop,
        _can_be_ready,
    )
    if standing.stage.is_over and not standing.out:
        return None
    return next((d for rule in rules if (d := rule(standing, now)) is not None), None)


def decisions(standings: Iterable[Standing], now: datetime) -> list[Decision]:
    """Every row, in the order of the screen: out now (late first), then by day."""
    return in_order(d for s in standings if (d := decision(s, now)) is not None)


def in_order(rows: Iterable[Decision]) -> list[Decision]:
    """Rows in the order of the screen: out now (late first), then the next 72 hours, then later."""
    groups, levels = list(Group), list(Level)

    def order(row: Decision) -> tuple[int, int, datetime, int]:
        late = levels.index(row.level) if row.group is Group.OUT_NOW else 0
        return (groups.index(row.group), late, row.due_at, row.event or 0)

    return sorted(rows, key=order)


def _row(
    standing: Standing,
    now: datetime,
    what: tuple[Level, str, NextStep],
    why: tuple[Reason, ...] = (),
    **extra: Fact,
) -> Decision:
    level, code, step = what
    facts = _facts(standing)
    return Decision(
        Group.NEXT_72_HOURS if standing.starts_at - now <= SOON else Group.LATER,
        level,
        Reason(code, facts | extra),
        step,
        standing.event,
        standing.starts_at,
        (Reason("event_in_short", facts), *why),
    )


def _facts(standing: Standing) -> dict[str, Fact]:
    return {
        "event": standing.event,
        "title": standing.title,
        "kind": standing.kind,
        "starts_at": standing.starts_at,
        "placed": standing.placed,
        "capacity": standing.capacity,
        "time_zone": standing.time_zone,
    }


def _people_out(s: Standing, now: datetime) -> Decision | None:
    if not s.out:
        return None
    late = s.clock_at is not None and now >= s.clock_at
    past_back = s.back_at is not None and now >= s.back_at
    facts = _facts(s) | {
        "n": s.out,
        "lead": s.lead,
        "back_at": s.back_at,
        "clock_at": s.clock_at,
    }
    level = Level.STOP if late else Level.CAUTION if past_back else Level.CLEAR
    code = "crew_is_late" if late else "crew_is_out"
    step = NextStep.ASK_AFTER_CREW if late else NextStep.SHOW_HEAD_COUNT
    if s.land_stops:
        level, code = Level.STOP, "crew_out_where_closed"
        step = NextStep.ASK_AFTER_CREW
    due = s.back_at or s.ends_at
    why = (Reason("clock_of_crew", facts), *s.land_stops)
    return Decision(Group.OUT_NOW, level, Reason(code, facts), step, s.event, due, why)


def _time_is_over(s: Standing, now: datetime) -> Decision | None:
    if s.stage is Stage.UNDER_WAY:
        return _row(s, now, (Level.CAUTION, "all_in_not_closed", NextStep.CLOSE_EVENT))
    if s.ends_at <= now:
        return _row(s, now, (Level.CAUTION, "day_past_not_closed", NextStep.CALL_OFF))
    return None


def _land(s: Standing, now: datetime) -> Decision | None:
    if not s.land_stops:
        return None
    return _row(s, now, (Level.STOP, "land_says_no", NextStep.SETTLE_LAND), s.land_stops)


def _draft(s: Standing, now: datetime) -> Decision | None:
    if s.stage is not Stage.DRAFT:
        return None
    if s.starts_at - now > timedelta(days=DRAFT_OPEN_DAYS):
        return None
    return _row(s, now, (Level.CAUTION, "draft_not_open", NextStep.OPEN_EVENT))


def _no_day(s: Standing, now: datetime) -> Decision | None:
    if s.date_state is DateState.FIXED or s.stage is Stage.DRAFT or s.starts_at - now > SOON:
        return None
    return _row(s, now, (Level.CAUTION, "day_not_fixed", NextStep.FIX_DAY))


def _lead(s: Standing, now: datetime) -> Decision | None:
    if s.stage is Stage.DRAFT or not s.kind.in_the_field or (s.lead and s.lead_cleared):
        return None
    extra: dict[str, Fact] = {"asked": s.asked_lead, "best": s.best_lead, "lead": s.lead}
    if s.lead:
        what = (Level.STOP, "lead_not_cleared_on_day", NextStep.ASK_LEAD)
        return _row(s, now, what, s.stops, **extra)
    if s.asked_lead:
        what = (Level.CAUTION, "lead_has_not_answered", NextStep.ASK_LEAD)
    elif s.best_lead is None:
        what = (Level.STOP, "event_without_lead", NextStep.ASK_LEAD)
    else:
        code = "lead_can_be_asked" if s.best_lead else "no_lead_to_ask"
        what = (Level.STOP, code, NextStep.ASK_LEAD)
    return _row(s, now, what, (), **extra)


def _crew(s: Standing, now: datetime) -> Decision | None:
    if not s.short or s.stage is Stage.DRAFT:
        return None
    level = Level.STOP if s.starts_at - now <= SOON else Level.CAUTION
    return _row(s, now, (level, "crew_short", NextStep.INVITE_CREW), s.stops, n=s.short)


def _duty(s: Standing, now: datetime) -> Decision | None:
    if s.has_duty or s.stage is Stage.DRAFT or not s.kind.in_the_field:
        return None
    level = Level.STOP if s.starts_at - now <= SOON else Level.CAUTION
    return _row(s, now, (level, "nobody_on_duty", NextStep.NAME_DUTY))


def _other_stop(s: Standing, now: datetime) -> Decision | None:
    if not s.stops or s.stage is Stage.DRAFT:
        return None
    return _row(s, now, (Level.STOP, "check_says_stop", NextStep.SHOW_CHECK), s.stops)


def _can_be_ready(s: Standing, now: datetime) -> Decision | None:
    if s.stage is not Stage.OPEN or s.date_state is not DateState.FIXED:
        return None
    if s.starts_at - now > SOON or not s.kind.in_the_field:
        return None
    return _row(s, now, (Level.CAUTION, "can_be_ready", NextStep.MARK_READY), s.cautions)


@dataclass(frozen=True)
class RipeSoon:
    """A population whose seed will be ready within days and for which no event is planned."""

    population: int
    site: int
    title: str
    best_day: date
    best_at: datetime
    chance: float


def unserved(ripe: Iterable[RipeSoon], now: datetime) -> list[Decision]:
    """Populations that are ready soon without an event, soonest first: create one."""
    rows = []
    for r in ripe:
        facts: dict[str, Fact] = {
            "population": r.population,
            "site": r.site,
            "title": r.title,
            "day": r.best_day,
            "share": r.chance,
        }
        group = Group.NEXT_72_HOURS if r.best_at - now <= SOON else Group.LATER
        rows.append(
            Decision(
                group,
                Level.CAUTION,
                Reason("ready_without_event", facts),
                NextStep.CREATE_EVENT,
                None,
                r.best_at,
                (Reason("chance_on_best_day", facts),),
            )
        )
    return sorted(rows, key=lambda d: (d.due_at, str(d.headline.facts["title"])))


def without_region(people: int, now: datetime) -> list[Decision]:
    """One row if people live where no region is: somebody has to care for them."""
    why = Reason("people_without_region", {"n": people})
    row = Decision(Group.LATER, Level.CAUTION, why, NextStep.HAND_OVER, None, now)
    return [row] if people else []
