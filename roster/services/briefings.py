"""Use cases of the briefing: topics, who heard them, late comers, and what was read or heard."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from roster.domain.briefing import (
    Care,
    Hearer,
    Outlook,
    ReadingKind,
    briefing_findings,
    reading_findings,
    topic_key,
    topics,
)
from roster.domain.errors import RuleBroken
from roster.domain.events import Event, EventKind, Stage
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Finding, Reason
from roster.domain.spots import SpotState
from roster.services import checks, clock
from roster.services.access import require
from roster.services.crew_facts import Crew, crew
from roster.store.briefings import BriefingRow, HeardRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow
from roster.store.transaction import write

UNITS = {ReadingKind.HEAT_INDEX: "°F", ReadingKind.AQI: "AQI"}
MOST_OF_READING = {ReadingKind.HEAT_INDEX: 150, ReadingKind.AQI: 1000}


@dataclass(frozen=True)
class Told:
    """The newest briefing of an event, and who of those who came heard it, by spot."""

    briefing: BriefingRow | None
    heard: dict[int, HeardRow]


def record(
    actor: Actor,
    event_id: int,
    spoken: Collection[str],
    heard: Collection[int],
    operation: str | None = None,
) -> int:
    """A briefing was spoken by the lead and heard by these people (spots); gives its number.

    Every topic must be marked. Whoever gives it and came has heard it too.
    """

    def body(store: Store) -> int:
        event = on_its_day(store, event_id)
        known = crew(store, event_id)
        _all_spoken(topics_of(store, known), spoken)
        came = _came(known, heard)
        mine = [s.id for s in came.values() if s.person == store.unit.actor.person]
        version = known.land.event.crew_version
        number = store.briefings.add(event_id, version, sorted(spoken))
        store.briefings.hear(number, [*heard, *mine], "spoken")
        store.unit.note(
            "briefed", "event", event.id, region=event.region, after={"heard": len(heard)}
        )
        return number

    return write(body, actor=actor, operation=operation)


def tell_late(
    actor: Actor, event_id: int, heard: Collection[int], operation: str | None = None
) -> int:
    """Late comers (spots) were briefed; gives the number of the briefing they heard."""

    def body(store: Store) -> int:
        event = on_its_day(store, event_id)
        _came(crew(store, event_id), heard)
        newest = _newest(store, event_id)
        store.briefings.hear(newest.id, heard, "late")
        store.unit.note(
            "briefed_late", "event", event.id, region=event.region, after={"heard": len(heard)}
        )
        return newest.id

    return write(body, actor=actor, operation=operation)


def acknowledge(actor: Actor, event_id: int, operation: str | None = None) -> int:
    """The actor, who came, has heard the newest briefing; gives its number."""

    def body(store: Store) -> int:
        event = store.events.locked(event_id)
        open_for_the_day(event)
        person = store.unit.actor.person or 0
        mine = store.spots.one(event_id, person)
        if mine is None or mine.state != SpotState.CAME:
            raise RuleBroken([Reason("not_here", {"name": store.unit.actor.name})])
        newest = _newest(store, event_id)
        store.briefings.hear(newest.id, [mine.id], "own_phone")
        store.unit.note("heard_briefing", "event", event_id, region=event.region)
        return newest.id

    return write(body, actor=actor, operation=operation)


def add_reading(
    actor: Actor, event_id: int, kind: str, value: float = 1, operation: str | None = None
) -> int:
    """What the lead reads or hears: thunder, heat index (°F), air quality index, evacuation, red
    flag (1, or 0 when it is over). Gives its number."""
    what = ReadingKind(checks.one_of("kind", kind, list(ReadingKind)))
    most = MOST_OF_READING.get(what, 3)

    def body(store: Store) -> int:
        event = on_its_day(store, event_id)
        known = checks.whole("value", round(value), 0, most)
        number = store.briefings.add_reading(event_id, what, known, UNITS.get(what, ""))
        store.unit.note(
            "read", "event", event_id, region=event.region,
            after={"kind": what.value, "value": known},
        )  # fmt: skip
        return number

    return write(body, actor=actor, operation=operation)


def topics_of(store: Store, known: Crew) -> tuple[Reason, ...]:
    """What must be spoken of on this event, driving first."""
    row, place = known.land.event, known.land.place
    return topics(
        Outlook(
            month=row.day.month,
            hazards=dict(store.places.hazards(row.site)),
            collecting=row.kind == EventKind.COLLECTING,
            look_alikes=tuple(store.spots.look_alikes(row.id)),
            minors=tuple(m.name for m in known.members if m.is_minor),
            dispatch=place.dispatch,
            hospital=place.hospital,
            hospital_minutes=place.hospital_minutes,
            minutes_to_signal=place.minutes_to_signal,
        )
    )


def told(store: Store, event_id: int) -> Told:
    """The newest briefing and who heard it."""
    newest = store.briefings.newest(event_id)
    return Told(newest, store.briefings.heard_by(newest.id) if newest else {})


def findings_of(store: Store, known: Crew) -> list[Finding]:
    """Whether everybody who came was briefed, and what the newest readings say."""
    row = known.land.event
    newest = told(store, row.id)
    came = [s for s in known.spots if s.state == SpotState.CAME]
    changed = newest.briefing is not None and newest.briefing.crew_version < row.crew_version
    found = briefing_findings(
        newest.briefing is not None,
        [Hearer(s.name, s.id in newest.heard) for s in came],
        crew_changed=changed,
    )
    return found + readings_of(store, known)


def readings_of(store: Store, known: Crew) -> list[Finding]:
    """What the newest readings of an event say."""
    care = Care(
        careful=any(m.is_minor for m in known.members),
        off_pavement=bool(known.land.place.unpaved),
        time_zone=known.land.event.time_zone,
    )
    return reading_findings(store.briefings.readings(known.land.event.id), store.unit.at, care)


def on_its_day(store: Store, event_id: int) -> Event:
    """The event locked, for its lead, data collector or staff, on its own local day."""
    event = store.events.locked(event_id)
    require(store, "event", event_id, "lead", "staff")
    open_for_the_day(event)
    today = clock.today(event.time_zone)
    if not event.first_day <= today <= event.last_day and event.stage is not Stage.UNDER_WAY:
        facts: dict[str, Fact] = {"event": event_id, "day": event.first_day, "today": today}
        raise RuleBroken([Reason("not_on_its_day", facts)])
    return event


def open_for_the_day(event: Event) -> None:
    """Nothing of the day can be changed on an event that is over, or not open yet."""
    if event.stage.is_over or event.stage is Stage.DRAFT:
        facts: dict[str, Fact] = {"event": event.id, "stage": event.stage}
        raise RuleBroken([Reason("event_is_closed", facts)])


def _newest(store: Store, event_id: int) -> BriefingRow:
    newest = store.briefings.newest(event_id)
    if newest is None:
        raise RuleBroken([Reason("briefing_missing")])
    return newest


def _all_spoken(wanted: Collection[Reason], spoken: Collection[str]) -> None:
    missing = [t for t in wanted if topic_key(t) not in spoken]
    if missing:
        raise RuleBroken([Reason("topics_not_spoken", {"n": len(missing)})])


def _came(known: Crew, spots: Collection[int]) -> dict[int, SpotRow]:
    """Those who came, by spot; RuleBroken if one of `spots` is not among them."""
    came = {s.id: s for s in known.spots if s.state == SpotState.CAME}
    names = {s.id: s.name for s in known.spots}
    wrong = [s for s in spots if s not in came]
    if wrong:
        raise RuleBroken([Reason("not_here", {"name": names.get(s, str(s))}) for s in wrong])
    return came
