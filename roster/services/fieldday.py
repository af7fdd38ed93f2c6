"""Use cases of the day: who is here, going under way, the head count, closing."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from roster.domain.errors import RuleBroken
from roster.domain.events import Event, EventKind, NothingTaken, Outcome, Stage
from roster.domain.headcount import Counted, Way, against, closing_findings
from roster.domain.papers import consent_on
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Finding, Level, Reason
from roster.domain.spots import SpotState
from roster.services import briefings, checks, crewcheck, events
from roster.services.crew_facts import Crew, crew
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import write

ON_THE_LIST = (SpotState.PLACED, SpotState.CAME, SpotState.ABSENT)


def mark_here(
    actor: Actor, event_id: int, here: Mapping[int, bool], operation: str | None = None
) -> int:
    """Say of each person (spot) whether they are here; gives how many came in all.

    Late comers are marked the same way; who is out with the crew cannot be marked as not here.
    """

    def body(store: Store) -> int:
        event = briefings.on_its_day(store, event_id)
        rows = {s.id: s for s in store.spots.of_event(event_id) if s.state in ON_THE_LIST}
        _known(event, rows, here)
        changed = []
        for number, is_here in here.items():
            row, state = rows[number], SpotState.CAME if is_here else SpotState.ABSENT
            if row.state == state:
                continue
            if event.stage is Stage.UNDER_WAY and row.state == SpotState.CAME:
                raise RuleBroken([Reason("is_out_already", {"name": row.name})])
            store.spots.change(row, state)
            changed.append(row.person)
        after = {"here": sum(here.values()), "not_here": len(here) - sum(here.values())}
        if changed:
            store.spots.recount(event_id)
            store.spots.refresh_busy(changed)
            crewcheck.refresh(store, event_id)
        store.unit.note("marked_here", "event", event_id, region=event.region, after=after)
        return sum(s.state == SpotState.CAME for s in store.spots.of_event(event_id))

    return write(body, actor=actor, operation=operation)


def start(actor: Actor, event_id: int, operation: str | None = None) -> int:
    """The crew goes out: everything is checked anew on who came; all who came are counted out.

    Gives how many are out. RuleBroken with every stop.
    """

    def body(store: Store) -> int:
        event = briefings.on_its_day(store, event_id)
        known = crew(store, event_id)
        events.start_in(store, event_id, start_findings(store, known))
        came = [s.id for s in known.spots if s.state == SpotState.CAME]
        store.counts.add(event_id, came, Way.OUT)
        if event.kind is EventKind.COLLECTING and store.collections.block_of(event_id) is None:
            team = known.land.event.region_name
            store.collections.take_block(team, event_id, store.unit.actor.person)
        crewcheck.refresh(store, event_id)
        return len(came)

    return write(body, actor=actor, operation=operation)


def start_findings(store: Store, known: Crew) -> list[Finding]:
    """Land, crew on who came, who is not marked yet, briefing and readings."""
    if not known.facts.kind.in_the_field:
        return list(crewcheck.findings_of(known))
    found = [*crewcheck.findings_of(known), *briefings.findings_of(store, known)]
    waiting = [s.name for s in known.spots if s.state == SpotState.PLACED]
    if waiting:
        facts: dict[str, Fact] = {"n": len(waiting), "names": "; ".join(waiting)}
        found.insert(0, Finding(Level.STOP, Reason("came_not_said", facts)))
    return found


@dataclass(frozen=True)
class Counting:
    """Whom to count (spots), in which way; a minor is handed over to somebody."""

    spots: tuple[int, ...]
    way: str
    to_whom: str = ""


def count(actor: Actor, event_id: int, wish: Counting, operation: str | None = None) -> int:
    """Count people out or in, or hand a minor over; gives how many are out now."""
    wanted = Way(checks.one_of("way", wish.way, list(Way)))
    told = checks.text("to_whom", wish.to_whom, needed=False)
    spots = wish.spots

    def body(store: Store) -> int:
        event = _under_way(store, event_id)
        people = counted(store, crew(store, event_id))
        _known(event, people, spots)
        reasons = [r for s in spots for r in against(people[s], wanted, told)]
        if wanted is Way.OUT:
            reasons += _unbriefed(store, event_id, {s: people[s] for s in spots})
        if wanted is Way.HANDED_OVER and not reasons:
            reasons += _may_fetch(store, event, spots, told)
        if reasons:
            raise RuleBroken(reasons)
        store.counts.add(event_id, spots, wanted, told)
        after = {"way": wanted.value, "n": len(spots)} | ({"to": told} if told else {})
        store.unit.note("counted", "event", event_id, region=event.region, after=after)
        return sum(c.is_out for c in counted(store, crew(store, event_id)).values())

    return write(body, actor=actor, operation=operation)


def finish(
    actor: Actor,
    event_id: int,
    outcome: str | None = None,
    nothing_taken: str | None = None,
    operation: str | None = None,
) -> int:
    """Close an event under way: everybody in, each minor handed over, and how it ended.

    A collecting event ends collected, or with nothing taken and why. Gives the event's number.
    """
    how = Outcome(checks.one_of("outcome", outcome, list(Outcome))) if outcome else None
    why = _why(nothing_taken)

    def body(store: Store) -> int:
        _under_way(store, event_id)
        found = closing_findings(counted(store, crew(store, event_id)).values())
        events.close_in(store, event_id, found, (how, why))
        crewcheck.refresh(store, event_id)
        return event_id

    return write(body, actor=actor, operation=operation)


def counted(store: Store, known: Crew) -> dict[int, Counted]:
    """Everybody who came with the last count of each, by spot."""
    last = store.counts.last(known.land.event.id)
    found = {}
    for s in known.spots:
        if s.state == SpotState.CAME:
            minor, one = known.everybody[s.id].is_minor, last.get(s.id)
            found[s.id] = (
                Counted(s.id, s.name, minor, one.way, one.at, one.to_whom)
                if one
                else Counted(s.id, s.name, minor)
            )
    return found


def fetchers(store: Store, event: Event, rows: Collection[SpotRow]) -> dict[int, tuple[str, ...]]:
    """By spot, who may fetch a minor: guardians, and whom their consent names; empty: nobody
    said."""
    if not rows:
        return {}
    day, age = event.first_day, store.places.site(event.site).majority_age
    guardians = store.invitations.guardians([s.person for s in rows], day)
    facts = store.facts.of_many({s.root for s in rows})
    found = {}
    for s in rows:
        consent = consent_on(facts[s.root], day, age)
        more = consent.scope.fetched_by if consent else ()
        names = [g.name for g in guardians if g.person == s.person]
        found[s.id] = tuple(dict.fromkeys((*names, *more)))
    return found


def _may_fetch(store: Store, event: Event, spots: Collection[int], to_whom: str) -> list[Reason]:
    rows = [s for s in store.spots.of_event(event.id) if s.id in spots]
    allowed = fetchers(store, event, rows)
    return [
        Reason(
            "may_not_fetch",
            {"name": s.name, "to_whom": to_whom, "names": "; ".join(allowed[s.id])},
        )
        for s in rows
        if allowed[s.id] and to_whom.casefold() not in {n.casefold() for n in allowed[s.id]}
    ]


def _unbriefed(store: Store, event_id: int, people: Mapping[int, Counted]) -> list[Reason]:
    heard = briefings.told(store, event_id).heard
    return [
        Reason("not_briefed_yet", {"name": c.name}) for s, c in people.items() if s not in heard
    ]


def _under_way(store: Store, event_id: int) -> Event:
    event = briefings.on_its_day(store, event_id)
    if event.stage is not Stage.UNDER_WAY:
        facts: dict[str, Fact] = {"event": event_id, "stage": event.stage}
        raise RuleBroken([Reason("event_not_under_way", facts)])
    return event


def _known(event: Event, rows: Collection[int], spots: Collection[int]) -> None:
    wrong = [s for s in spots if s not in rows]
    if wrong:
        raise RuleBroken(
            [Reason("not_on_crew", {"name": f"#{s}", "event": event.id}) for s in wrong]
        )


def _why(nothing_taken: str | None) -> NothingTaken | None:
    if not nothing_taken:
        return None
    return NothingTaken(checks.one_of("nothing_taken", nothing_taken, list(NothingTaken)))
