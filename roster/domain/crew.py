"""The crew check: may these people go out on this event, and if not, what would make it right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.crew_member import CrewMember
from roster.domain.crew_minors import minor_findings
from roster.domain.events import EventKind
from roster.domain.people import Role
from roster.domain.reasons import Fact, Finding, Level, Reason


@dataclass(frozen=True)
class CrewRules:
    """Numbers of the crew check; each a setting.

    Minimum crew: common practice, no source (one is hurt, one stays, two fetch help). At most 9
    beside the lead: groups of ten or fewer, one ranger's account (Homestead). 5 on a lead's first
    two events, seats and walk-out: our own defaults.
    """

    minimum_with_coverage: int = 3
    minimum_without: int = 4
    minimum_site_check: int = 2
    most_beside_lead: int = 9
    most_beside_new_lead: int = 5
    new_for_events: int = 2
    seats_a_vehicle: int = 5


@dataclass(frozen=True)
class EventFacts:
    """What the crew check must know of an event. `land` are findings of permission and closures.

    `unanswered` are names of who was asked again after a move and has not said yes.
    `led_before` counts done events that the lead has led; `ends_at` and `sunset` are instants.
    """

    event: int
    kind: EventKind
    day: date
    ends_at: datetime
    time_zone: str
    coverage: bool
    minimum_crew: int = 0
    led_before: int = 0
    vehicles: int = 0
    walk_out_minutes: int = 60
    sunset: datetime | None = None
    land: tuple[Finding, ...] = ()
    unanswered: tuple[str, ...] = ()
    rules: CrewRules = CrewRules()

    @property
    def minimum(self) -> int:
        """The smallest crew of cleared adults: the event's own number, never below the rule's."""
        if self.kind is EventKind.SITE_CHECK:
            least = self.rules.minimum_site_check
        elif self.coverage:
            least = self.rules.minimum_with_coverage
        else:
            least = self.rules.minimum_without
        return max(self.minimum_crew, least)


def crew_check(facts: EventFacts, members: Sequence[CrewMember]) -> tuple[Finding, ...]:
    """Every finding about this crew on this event, stops first, then cautions, then clear ones.

    A training session or a meeting is checked for the safety of minors only.
    """
    found = minor_findings(members) + _asked_again(facts)
    if facts.kind.in_the_field:
        for rule in (_size, _lead, _data_collector, _most, _first_aid):
            found += rule(facts, members)
        for rule in (_everybody_cleared, _papers, _overlaps, _daylight, _vehicles):
            found += rule(facts, members)
        found += facts.land
    return tuple(sorted(found, key=lambda f: list(Level).index(f.level)))


def shortfall(facts: EventFacts, members: Iterable[CrewMember]) -> int:
    """How many cleared adults are missing to the minimum crew; 0 for a training or a meeting."""
    if not facts.kind.in_the_field:
        return 0
    return max(facts.minimum - sum(m.counts for m in members), 0)


def _size(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    short = shortfall(facts, members)
    said: dict[str, Fact] = {"n": sum(m.counts for m in members), "minimum": facts.minimum}
    if short:
        code = "crew_too_small" if facts.coverage else "crew_too_small_no_signal"
        return [_stop(code, said | {"short": short})]
    return [_clear("crew_large_enough", said)]


def _asked_again(facts: EventFacts) -> list[Finding]:
    if not facts.unanswered:
        return []
    said: dict[str, Fact] = {"names": _names(facts.unanswered), "n": len(facts.unanswered)}
    return [Finding(Level.CAUTION, Reason("asked_again_unanswered", said))]


def _lead(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    leads = [m for m in members if m.role is Role.LEAD]
    if not leads:
        return [_stop("lead_missing", {"event": facts.event})]
    return _key_person(facts, leads, "lead_not_cleared", "lead_cleared")


def _data_collector(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    if facts.kind is not EventKind.COLLECTING:
        return []
    leads = {m.person for m in members if m.role is Role.LEAD}
    named = [m for m in members if m.role is Role.DATA_COLLECTOR]
    others = [m for m in named if m.person not in leads]
    if not others:
        code = "collector_is_lead" if named else "collector_missing"
        return [_stop(code, {"event": facts.event})]
    return _key_person(facts, others, "collector_not_cleared", "collector_cleared")


def _key_person(facts: EventFacts, named: Sequence[CrewMember], no: str, yes: str) -> list[Finding]:
    """One of those named must be cleared; else each is named with the day."""
    good = [m for m in named if m.is_cleared]
    if good:
        first = good[0]
        return [_clear(yes, {"name": first.name, "until": first.cleared[first.role]})]
    return [_stop(no, {"name": m.name, "day": facts.day}) for m in named]


def _most(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    beside = sum(m.role is not Role.LEAD for m in members)
    is_new = facts.led_before < facts.rules.new_for_events
    most = facts.rules.most_beside_new_lead if is_new else facts.rules.most_beside_lead
    said: dict[str, Fact] = {"n": beside, "most": most}
    if beside <= most:
        return [_clear("crew_not_too_large", said)]
    return [_stop("crew_too_large_new_lead" if is_new else "crew_too_large", said)]


def _first_aid(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    aiders = [m.name for m in members if Role.FIRST_AIDER in m.cleared]
    if aiders:
        return [_clear("first_aid_there", {"names": _names(aiders)})]
    return [_stop("first_aid_missing", {"event": facts.event, "day": facts.day})]


def _everybody_cleared(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    # lead and data collector have findings of their own
    key = (Role.LEAD, Role.DATA_COLLECTOR)
    found = [
        _stop("member_not_cleared", {"name": m.name, "role": m.role, "day": facts.day})
        for m in members
        if not m.is_cleared and m.role not in key
    ]
    if found or not all(m.is_cleared for m in members):
        return found
    return [_clear("everybody_cleared", {"n": len(members)})] if members else []


def _papers(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    found = [
        _stop("member_lacks_papers", {"name": m.name, "papers": _names(m.lacks)})
        for m in members
        if m.lacks
    ]
    if found or not members:
        return found
    return [_clear("papers_in_order", {"n": len(members), "day": facts.day})]


def _overlaps(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    return [
        _stop("member_elsewhere", {"name": m.name, "other": m.elsewhere[0], "day": facts.day})
        for m in members
        if m.elsewhere
    ]


def _daylight(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    if facts.sunset is None:
        return [Finding(Level.CAUTION, Reason("daylight_unknown", {"day": facts.day}))]
    latest = facts.sunset - timedelta(minutes=facts.walk_out_minutes)
    said: dict[str, Fact] = {
        "ends_at": facts.ends_at,
        "latest": latest,
        "sunset": facts.sunset,
        "minutes": facts.walk_out_minutes,
        "time_zone": facts.time_zone,
    }
    if facts.ends_at > latest:
        return [_stop("daylight_too_short", said)]
    return [_clear("daylight_enough", said)]


def _vehicles(facts: EventFacts, members: Sequence[CrewMember]) -> list[Finding]:
    said: dict[str, Fact] = {"n": facts.vehicles, "people": len(members)}
    if not facts.vehicles:
        code = "vehicles_unknown"
    elif facts.vehicles * facts.rules.seats_a_vehicle < len(members):
        code = "vehicles_too_few"
    elif facts.vehicles == 1 and not facts.coverage:
        code = "one_vehicle_no_signal"
    else:
        return [_clear("vehicles_enough", said)]
    return [Finding(Level.CAUTION, Reason(code, said))]


def _names(names: Iterable[str]) -> str:
    return "; ".join(names)


def _stop(code: str, facts: Mapping[str, Fact]) -> Finding:
    return Finding(Level.STOP, Reason(code, facts))


def _clear(code: str, facts: Mapping[str, Fact]) -> Finding:
    return Finding(Level.CLEAR, Reason(code, facts))
