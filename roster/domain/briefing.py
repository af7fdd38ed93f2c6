"""The safety briefing: what must be spoken before work, who heard it, and readings that stop work.

These are the usual cautions. Local codes, the land manager's rules and licensed practice come
before every line here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from roster.domain.reasons import Fact, Finding, Level, Reason


class Topic(StrEnum):
    """Topics in the order in which they are spoken: driving first, it hurts most people."""

    DRIVING = "driving"
    CALLING = "calling"
    LIGHTNING = "lightning"
    HEAT = "heat"
    SMOKE = "smoke"
    FIRE = "fire"
    TRAFFIC = "traffic"
    SLOPE = "slope"
    WATER = "water"
    LOOK_ALIKES = "look_alikes"
    BLADES = "blades"
    SNAKES_STINGS = "snakes_stings"
    TICKS = "ticks"
    LIVESTOCK = "livestock"
    DUST = "dust"
    SPRAY = "spray"
    HUNTING = "hunting"
    COLD = "cold"
    SUN = "sun"
    MEDICINES = "medicines"
    MINORS = "minors"


ALWAYS = frozenset({Topic.DRIVING, Topic.CALLING, Topic.LIGHTNING, Topic.SUN, Topic.MEDICINES})
"""Spoken on every event (common practice, no source)."""
SEASONAL: Mapping[Topic, frozenset[int]] = {
    Topic.HEAT: frozenset(range(5, 10)),
    Topic.FIRE: frozenset(range(6, 11)),
    Topic.SNAKES_STINGS: frozenset(range(4, 11)),
    Topic.TICKS: frozenset(range(3, 9)),
    Topic.HUNTING: frozenset({9, 10, 11}),
    Topic.COLD: frozenset({1, 2, 3, 10, 11, 12}),
}
"""Months of the northern temperate year in which a topic is spoken unasked (our own default)."""
OF_HAZARD: Mapping[str, Topic] = {
    **{t.value: t for t in Topic},
    "snakes": Topic.SNAKES_STINGS,
    "stings": Topic.SNAKES_STINGS,
    "roadside": Topic.TRAFFIC,
    "road": Topic.TRAFFIC,
    "river": Topic.WATER,
    "flood": Topic.WATER,
    "cliff": Topic.SLOPE,
    "cattle": Topic.LIVESTOCK,
    "dogs": Topic.LIVESTOCK,
}


@dataclass(frozen=True)
class Outlook:
    """What the briefing is made from. `hazards` map a kind to the site's own note.

    `look_alikes` are plants that can poison and look like those to be collected.
    """

    month: int
    hazards: Mapping[str, str]
    collecting: bool = True
    look_alikes: tuple[str, ...] = ()
    minors: tuple[str, ...] = ()
    dispatch: str = ""
    hospital: str = ""
    hospital_minutes: int | None = None
    minutes_to_signal: int = 0


def topics(outlook: Outlook) -> tuple[Reason, ...]:
    """What to speak of, driving first: one reason a topic, with the site's own note in `note`."""
    chosen = set(ALWAYS) | {t for t, months in SEASONAL.items() if outlook.month in months}
    notes: dict[Topic, str] = {}
    other = []
    for kind, note in outlook.hazards.items():
        topic = OF_HAZARD.get(kind)
        if topic is None:
            other.append(Reason("topic_other", {"hazard": kind.replace("_", " "), "note": note}))
            continue
        chosen.add(topic)
        notes[topic] = f"{notes[topic]} {note}" if topic in notes else note
    if outlook.collecting:
        chosen.add(Topic.BLADES)
    if outlook.look_alikes:
        chosen.add(Topic.LOOK_ALIKES)
    if outlook.minors:
        chosen.add(Topic.MINORS)
    spoken = [_spoken(t, outlook, notes.get(t, "")) for t in Topic if t in chosen]
    return (*spoken, *other)


def _spoken(topic: Topic, outlook: Outlook, note: str) -> Reason:
    facts: dict[str, Fact] = {"note": note}
    if topic is Topic.CALLING:
        facts |= {
            "dispatch": outlook.dispatch or "911",
            "hospital": outlook.hospital or "-",
            "minutes": outlook.hospital_minutes,
            "signal": outlook.minutes_to_signal,
        }
        if outlook.minutes_to_signal:
            return Reason("topic_calling_no_signal", facts)
    if topic is Topic.LOOK_ALIKES:
        facts["names"] = "; ".join(outlook.look_alikes)
        return Reason("topic_look_alikes" if outlook.look_alikes else "topic_plants_unnamed", facts)
    if topic is Topic.MINORS:
        facts["names"] = "; ".join(outlook.minors)
    return Reason(f"topic_{topic}", facts)


def topic_key(topic: Reason) -> str:
    """What tells one topic of a briefing from another: its code, and a hazard of no own code."""
    hazard = topic.facts.get("hazard")
    return f"{topic.code}:{hazard}" if hazard else topic.code


@dataclass(frozen=True)
class Hearer:
    """One person who came, and whether they heard the newest briefing."""

    name: str
    heard: bool


def briefing_findings(
    given: bool, hearers: Sequence[Hearer], *, crew_changed: bool = False
) -> list[Finding]:
    """Whether everybody who came was briefed. `crew_changed`: somebody joined since.

    Every participant is briefed before work, late comers too (Forest Service checklist for
    sponsored volunteers); who acknowledged it is kept by name.
    """
    if not given:
        return [Finding(Level.STOP, Reason("briefing_missing"))]
    missed = [h.name for h in hearers if not h.heard]
    if missed:
        code = "late_comers_not_briefed" if crew_changed else "briefing_not_heard"
        facts: dict[str, Fact] = {"n": len(missed), "names": "; ".join(missed)}
        return [Finding(Level.STOP, Reason(code, facts))]
    return [Finding(Level.CLEAR, Reason("everybody_briefed", {"n": len(hearers)}))]


class ReadingKind(StrEnum):
    """What the lead reads or hears and types in; no live feed is implied."""

    THUNDER = "thunder"
    HEAT_INDEX = "heat_index"  # degrees Fahrenheit, as displayed
    AQI = "aqi"
    EVACUATION = "evacuation"
    RED_FLAG = "red_flag"


@dataclass(frozen=True)
class StopLines:
    """From where work stops; settings that defer to stricter local codes.

    Thunder: OSHA/NOAA Lightning Safety When Working Outdoors (OSHA 3863). Heat index 91 and 103:
    bounds of OSHA's guide; stopping at 103 is stricter, our own default. AQI: our own defaults.
    """

    thunder_minutes: int = 30
    heat_stop: float = 103
    heat_plan: float = 91
    aqi_stop: float = 150
    aqi_stop_careful: float = 100


@dataclass(frozen=True)
class Reading:
    """One reading; `value` is 1 for what only happens (thunder, evacuation, red flag)."""

    kind: ReadingKind
    value: float
    at: datetime


@dataclass(frozen=True)
class Care:
    """For whom the lines are drawn: a minor, or anyone who asked; driving off pavement; where."""

    careful: bool = False
    off_pavement: bool = False
    time_zone: str = "UTC"


def reading_findings(
    readings: Iterable[Reading], now: datetime, care: Care, lines: StopLines | None = None
) -> list[Finding]:
    """What the newest reading of each kind says: stop, caution, or nothing."""
    lines = lines or StopLines()
    newest: dict[ReadingKind, Reading] = {}
    for reading in sorted(readings, key=lambda r: r.at):
        if reading.at <= now:
            newest[reading.kind] = reading
    found = [_judged(r, now, care, lines) for r in newest.values()]
    return [f for f in found if f is not None]


def _judged(reading: Reading, now: datetime, care: Care, lines: StopLines) -> Finding | None:
    said: dict[str, Fact] = {"value": round(reading.value), "at": reading.at}
    said["time_zone"] = care.time_zone
    kind = reading.kind
    if kind is ReadingKind.THUNDER:
        again = reading.at + timedelta(minutes=lines.thunder_minutes)
        said |= {"again": again, "minutes": lines.thunder_minutes}
        return _stop_if(now < again, "thunder_heard", said)
    if kind is ReadingKind.HEAT_INDEX:
        return _by_lines(reading, ("too_hot", lines.heat_stop), ("hot", lines.heat_plan), said)
    if kind is ReadingKind.AQI:
        most = lines.aqi_stop_careful if care.careful else lines.aqi_stop
        return _stop_if(reading.value > most, "too_smoky", said | {"most": round(most)})
    if kind is ReadingKind.RED_FLAG and not care.off_pavement and reading.value:
        return Finding(Level.CAUTION, Reason("red_flag", said))
    code = "red_flag_off_pavement" if kind is ReadingKind.RED_FLAG else "evacuation_level"
    return _stop_if(bool(reading.value), code, said)


def _stop_if(holds: bool, code: str, facts: Mapping[str, Fact]) -> Finding | None:
    return Finding(Level.STOP, Reason(code, facts)) if holds else None


def _by_lines(
    reading: Reading, stop: tuple[str, float], plan: tuple[str, float], facts: dict[str, Fact]
) -> Finding | None:
    for (code, line), level in ((stop, Level.STOP), (plan, Level.CAUTION)):
        if reading.value >= line:
            return Finding(level, Reason(code, facts | {"line": round(line)}))
    return None
