"""Spots on a crew: who gets one, who waits, and who moves up when somebody withdraws."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from roster.domain.errors import RuleBroken
from roster.domain.events import EventKind, Stage
from roster.domain.people import Role
from roster.domain.reasons import Fact, Reason


class SpotState(StrEnum):
    """How a person stands to an event."""

    ASKED = "asked"  # wishes to come; the day is not fixed yet
    OFFERED = "offered"  # a spot is held until the person answers
    PLACED = "placed"
    WAITING = "waiting"
    WITHDRAWN = "withdrawn"
    CAME = "came"
    ABSENT = "absent"


LIVE_STATES = frozenset({SpotState.OFFERED, SpotState.PLACED, SpotState.CAME})
"""States that take up one of the event's spots."""
WITHDRAWABLE = frozenset({SpotState.ASKED, SpotState.OFFERED, SpotState.PLACED, SpotState.WAITING})


@dataclass(frozen=True)
class SpotRules:
    """Hours before the start up to which somebody moves up by itself, or is offered a spot.

    Settings of our own: promotion by itself until 72 h, an offer until 24 h, after that by phone.
    """

    automatic_hours: int = 72
    offer_hours: int = 24
    answer_hours: int = 12
    least_answer_hours: int = 2


def kept_roles(kind: EventKind, seated: Iterable[Role]) -> frozenset[Role]:
    """The roles for which one spot each is kept free, as nobody in them holds a spot yet."""
    wanted = {
        EventKind.COLLECTING: {Role.LEAD, Role.DATA_COLLECTOR},
        EventKind.SITE_CHECK: {Role.LEAD},
    }.get(kind, set())
    return frozenset(wanted - set(seated))


@dataclass(frozen=True)
class Openings:
    """An event as a sign-up sees it. `ceiling` is the most people the land manager allows."""

    event: int
    stage: Stage
    is_fixed: bool
    starts_at: datetime
    ends_at: datetime
    capacity: int
    taken: int
    kept: frozenset[Role] = frozenset()
    ceiling: int | None = None

    def left_for(self, role: Role) -> int:
        """How many spots somebody in this role may still take."""
        most = self.capacity if self.ceiling is None else min(self.capacity, self.ceiling)
        return max(most - self.taken - len(self.kept - {role}), 0)

    def with_one_more(self, role: Role) -> Openings:
        """The same after somebody in this role has taken a spot."""
        return replace(self, taken=self.taken + 1, kept=self.kept - {role})


@dataclass(frozen=True)
class OtherStay:
    """Another event of the same person, and how long the way between the two places takes."""

    event: int
    title: str
    starts_at: datetime
    ends_at: datetime
    travel: timedelta = timedelta()


def clashes(starts_at: datetime, ends_at: datetime, others: Iterable[OtherStay]) -> list[OtherStay]:
    """The other events that overlap these hours, the way between the places included."""
    return [
        o for o in others if o.starts_at < ends_at + o.travel and starts_at < o.ends_at + o.travel
    ]


@dataclass(frozen=True)
class Wish:
    """A person who wants a spot: the verdict for the event's day, and what else may stand against.

    `reasons` say why not when not cleared; `guardian_yes` counts for a minor only.
    """

    person: int
    name: str
    role: Role
    cleared: bool
    reasons: tuple[Reason, ...] = ()
    is_minor: bool = False
    guardian_yes: bool = False
    state: SpotState | None = None
    others: tuple[OtherStay, ...] = ()


def bars(openings: Openings, wish: Wish) -> list[Reason]:
    """Why this person may not hold a spot on this event; empty if nothing stands against it."""
    facts: dict[str, Fact] = {"name": wish.name, "event": openings.event}
    found: list[Reason] = []
    if not wish.cleared:
        found += wish.reasons or (Reason("not_cleared_for_event", facts | {"role": wish.role}),)
    if wish.is_minor and not wish.guardian_yes:
        found.append(Reason("guardian_yes_missing", facts))
    if openings.is_fixed:
        for other in clashes(openings.starts_at, openings.ends_at, wish.others):
            minutes = int(other.travel.total_seconds() // 60)
            found.append(
                Reason(
                    "overlaps_other_event",
                    facts | {"other": other.event, "title": other.title, "minutes": minutes},
                )
            )
    return found


def sign_up(openings: Openings, wish: Wish) -> SpotState:
    """The state that a wish leads to: placed, waiting, or asked while the day is not fixed.

    Raises RuleBroken with every reason why the person may not come.
    """
    if not openings.stage.takes_sign_ups:
        facts: dict[str, Fact] = {"event": openings.event, "stage": openings.stage}
        raise RuleBroken([Reason("takes_no_sign_ups", facts)])
    free_to_ask = {None, SpotState.WITHDRAWN} | ({SpotState.ASKED} if openings.is_fixed else set())
    if wish.state not in free_to_ask:
        raise RuleBroken([Reason("already_has_a_spot")])
    against = bars(openings, wish)
    if against:
        raise RuleBroken(against)
    if not openings.is_fixed:
        return SpotState.ASKED
    return SpotState.PLACED if openings.left_for(wish.role) else SpotState.WAITING


def place(openings: Openings, wish: Wish) -> SpotState:
    """A spot given by the coordinator, or taken by the lead: placed, or RuleBroken.

    What bars a sign-up bars this too; there is no placing beyond the last spot.
    """
    if openings.stage.is_over or openings.stage is Stage.UNDER_WAY:
        facts: dict[str, Fact] = {"event": openings.event, "stage": openings.stage}
        raise RuleBroken([Reason("takes_no_sign_ups", facts)])
    against = bars(openings, wish)
    if wish.state not in LIVE_STATES and not openings.left_for(wish.role):
        against.append(Reason("no_spot_left"))
    if against:
        raise RuleBroken(against)
    return SpotState.PLACED


def withdraw(openings: Openings, wish: Wish, now: datetime) -> Reason | None:
    """Whether this withdrawal must alarm somebody (and why), or RuleBroken if it comes too late.

    A lead or data collector who leaves, and anybody inside the last 72 hours, alarms.
    """
    facts: dict[str, Fact] = {"name": wish.name, "event": openings.event, "role": wish.role}
    if openings.stage is Stage.UNDER_WAY or openings.stage.is_over:
        raise RuleBroken([Reason("withdraws_too_late", facts | {"stage": openings.stage})])
    if wish.state not in WITHDRAWABLE:
        raise RuleBroken([Reason("has_no_spot", facts)])
    if wish.state not in LIVE_STATES:
        return None
    if wish.role in (Role.LEAD, Role.DATA_COLLECTOR):
        return Reason("key_person_withdrew", facts)
    if openings.starts_at - now < timedelta(hours=SpotRules.automatic_hours):
        return Reason("withdrew_late", facts)
    return None


@dataclass(frozen=True)
class InLine:
    """Somebody on the waiting list; lower numbers came first."""

    line_no: int
    wish: Wish


@dataclass(frozen=True)
class MovingUp:
    """What happens to free spots: who is placed, who is offered one until when, whom to phone.

    `passed` are those who stood earlier in the list and may not come now, each with the reason.
    """

    placed: tuple[int, ...] = ()
    offered: tuple[int, ...] = ()
    until: datetime | None = None
    phone: tuple[int, ...] = ()
    passed: tuple[tuple[int, Reason], ...] = ()


def move_up(
    openings: Openings, line: Sequence[InLine], now: datetime, rules: SpotRules | None = None
) -> MovingUp:
    """Who of the waiting list gets the free spots, first come first served, if still eligible.

    Until 72 h before the start by itself, then an offer that needs a yes until 24 h before, then
    only the list of whom to phone. A minor moves up only with the guardian's yes.
    """
    rules = rules or SpotRules()
    if not openings.stage.takes_sign_ups or not openings.is_fixed:
        return MovingUp()
    chosen, passed = _first_eligible(openings, line, now, rules)
    left = openings.starts_at - now
    if left >= timedelta(hours=rules.automatic_hours):
        return MovingUp(placed=chosen, passed=passed)
    if left >= timedelta(hours=rules.offer_hours):
        until = answer_by(openings.starts_at, now, rules)
        return MovingUp(offered=chosen, until=until if chosen else None, passed=passed)
    return MovingUp(phone=chosen, passed=passed)


def answer_by(starts_at: datetime, now: datetime, rules: SpotRules) -> datetime:
    """By when an offer must be answered: in 12 hours, sooner near the start, never under 2."""
    latest = min(
        now + timedelta(hours=rules.answer_hours),
        starts_at - timedelta(hours=rules.offer_hours),
    )
    return max(latest, now + timedelta(hours=rules.least_answer_hours))


def _first_eligible(
    openings: Openings, line: Sequence[InLine], now: datetime, rules: SpotRules
) -> tuple[tuple[int, ...], tuple[tuple[int, Reason], ...]]:
    by_phone = openings.starts_at - now < timedelta(hours=rules.offer_hours)
    chosen: list[int] = []
    passed: list[tuple[int, Reason]] = []
    for waiting in sorted(line, key=lambda w: w.line_no):
        wish = waiting.wish
        if not openings.left_for(wish.role):
            continue
        against = bars(openings, wish)
        if against:
            passed.append((wish.person, against[0]))
            continue
        chosen.append(wish.person)
        if not by_phone:  # on the phone several are tried for one spot
            openings = openings.with_one_more(wish.role)
    return tuple(chosen), tuple(passed)


def accept(openings: Openings, wish: Wish, offered_until: datetime | None, now: datetime) -> None:
    """Nothing if the offered spot may be taken now, else RuleBroken."""
    facts: dict[str, Fact] = {"name": wish.name, "event": openings.event}
    if wish.state is not SpotState.OFFERED:
        raise RuleBroken([Reason("no_offer_open", facts)])
    if offered_until is not None and now > offered_until:
        raise RuleBroken([Reason("offer_has_lapsed", facts | {"until": offered_until})])
    against = bars(openings, wish)
    if against:
        raise RuleBroken(against)
