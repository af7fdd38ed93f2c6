"""Leads for an event: who is cleared, free and near, in which order, and why nobody is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import acos, atan2, degrees, hypot

from roster.domain.geo import EARTH_KM, great_circle_km
from roster.domain.reasons import Fact, Reason

ROAD_FACTOR = 1.4
PAVED_KMH = 70
UNPAVED_KMH = 40
TOWN_KM = 15
NEAR_REACH_END = 0.9
"""Above this share of their reach a person is "near the end" of it (our own default)."""
CLOSE_EVENTS_DAYS = 8
CLOSE_EVENTS_MOST = 2
"""A third event within eight days speaks against asking (our own default)."""


def travel_minutes(km: float, *, unpaved: bool = False, drive_minutes: int | None = None) -> int:
    """Whole minutes on the way, one way: the site's own drive minutes where known.

    Else 1.4 times the distance as the crow flies at 70 km/h, 40 on unpaved roads (our own
    default, no source); rounded up, since late is worse than early.
    """
    if drive_minutes is not None:
        return drive_minutes
    exact = km * ROAD_FACTOR / (UNPAVED_KMH if unpaved else PAVED_KMH) * 60
    return int(-(-round(exact, 6) // 1))


def km_of_cosine(cosine: float) -> float:
    """Great-circle km between two unit vectors whose dot product this is."""
    return EARTH_KM * acos(max(-1.0, min(1.0, cosine)))


def place_of(x: float, y: float, z: float) -> tuple[float, float]:
    """Latitude and longitude in degrees of a unit vector."""
    return degrees(atan2(z, hypot(x, y))), degrees(atan2(y, x))


def nearest_town_minutes(said: str, home: tuple[float, float]) -> int | None:
    """The drive minutes that a site says for the town where somebody lives, or None.

    `said` is "Pullman 46.73,-117.18 35; Colfax 46.88,-117.36 20": name, latitude and longitude,
    minutes. A home belongs to the nearest of these towns within 15 km.
    """
    found = []
    for part in said.split(";"):
        words = part.split()
        if len(words) < 3:
            continue
        lat, _, lon = words[-2].partition(",")
        try:
            km = great_circle_km(float(lat), float(lon), *home)
            found.append((km, int(words[-1])))
        except ValueError:
            continue
    near = [pair for pair in found if pair[0] <= TOWN_KM]
    return min(near)[1] if near else None


class Rung(StrEnum):
    """Where a person falls off the ladder; the order is that of asking."""

    NOT_CLEARED = "not_cleared"
    SAID_NO = "said_no"
    NOT_FREE = "not_free"
    OUT_OF_REACH = "out_of_reach"
    MONTH_FULL = "month_full"


@dataclass(frozen=True)
class Candidate:
    """What is known of one person as lead of one event on one day.

    `km` as the crow flies and `minutes` one way, None without a home place; `reach_minutes` the
    farthest that they drive (None: not said); `load` events this month, `per_month` the most they
    agreed to (None: not said); `led_here` how often at this site, `close_events` others within
    eight days; `busy_with` an event of theirs on the day.
    """

    person: int
    name: str
    km: float | None
    minutes: int | None
    cleared: bool = True
    free: bool = True
    said_no: bool = False
    reach_minutes: int | None = None
    load: int = 0
    per_month: int | None = None
    knows_taxon: bool = False
    led_here: int = 0
    first_aider: bool = False
    close_events: int = 0
    busy_with: int | None = None
    event_day_before: int | None = None

    @property
    def rung(self) -> Rung | None:
        """Where they fall off, or None: can be asked. A full month speaks against, no more."""
        if not self.cleared:
            return Rung.NOT_CLEARED
        if self.said_no:
            return Rung.SAID_NO
        if not self.free or self.busy_with is not None:
            return Rung.NOT_FREE
        known = self.minutes is not None and self.reach_minutes is not None
        if known and self.minutes > self.reach_minutes:  # type: ignore[operator]
            return Rung.OUT_OF_REACH
        return None

    @property
    def about_minutes(self) -> int | None:
        """Minutes on the way, rounded up to ten: exact ones would tell where a person lives."""
        return None if self.minutes is None else -(-self.minutes // 10) * 10

    @property
    def km_band(self) -> tuple[int, int] | None:
        """The ten kilometres within which the distance lies, for the same reason."""
        if self.km is None:
            return None
        low = int(self.km // 10) * 10
        return (low, low + 10)

    @property
    def month_full(self) -> bool:
        """Whether one more event would be over what they agreed to this month."""
        return self.per_month is not None and self.load >= self.per_month


@dataclass(frozen=True)
class Match:
    """One person who can be asked, with reasons for and against."""

    candidate: Candidate
    for_: tuple[Reason, ...]
    against: tuple[Reason, ...]


@dataclass(frozen=True)
class Ranking:
    """The matches, best first, and how many fell off at each rung."""

    matches: tuple[Match, ...]
    left_out: dict[Rung, tuple[Candidate, ...]]


def rank(candidates: Iterable[Candidate]) -> Ranking:
    """Who can be asked, best first: month not full, least against them, nearest, least loaded.

    The order is our own default. The same people in any order give the same ranking.
    """
    left_out: dict[Rung, list[Candidate]] = {}
    able = []
    for candidate in candidates:
        rung = candidate.rung
        if rung is None:
            able.append(candidate)
        else:
            left_out.setdefault(rung, []).append(candidate)
    nearest = min((c.minutes for c in able if c.minutes is not None), default=None)
    matches = [Match(c, _for(c, nearest, len(able)), _against(c)) for c in able]
    matches.sort(key=_order)
    fallen = {r: tuple(sorted(left_out[r], key=_nearest)) for r in Rung if r in left_out}
    return Ranking(tuple(matches), fallen)


def _order(match: Match) -> tuple[bool, int, int, int, str, int]:
    c = match.candidate
    return (c.month_full, len(match.against), _far(c), c.load, c.name, c.person)


def _nearest(candidate: Candidate) -> tuple[int, str, int]:
    return (_far(candidate), candidate.name, candidate.person)


def _far(candidate: Candidate) -> int:
    return 10**6 if candidate.minutes is None else candidate.minutes


def _for(c: Candidate, nearest: int | None, able: int) -> tuple[Reason, ...]:
    reasons = []
    if c.led_here:
        reasons.append(Reason("led_here_before", {"n": c.led_here}))
    if c.knows_taxon:
        reasons.append(Reason("knows_taxon"))
    if c.first_aider:
        reasons.append(Reason("is_first_aider"))
    if c.minutes is not None and c.minutes == nearest and able > 1:
        reasons.append(Reason("is_nearest", {"minutes": c.about_minutes}))
    if c.load == 0:
        reasons.append(Reason("none_this_month"))
    return tuple(reasons)


def _against(c: Candidate) -> tuple[Reason, ...]:
    reasons = []
    if c.month_full:
        facts: dict[str, Fact] = {"nth": c.load + 1, "most": c.per_month}
        reasons.append(Reason("over_month", facts))
    if c.event_day_before is not None:
        reasons.append(Reason("event_the_day_before", {"event": c.event_day_before}))
    if c.close_events >= CLOSE_EVENTS_MOST:
        reasons.append(
            Reason("many_in_a_row", {"nth": c.close_events + 1, "days": CLOSE_EVENTS_DAYS})
        )
    if c.minutes is None:
        reasons.append(Reason("home_unknown"))
    elif c.reach_minutes and c.minutes > NEAR_REACH_END * c.reach_minutes:
        facts = {"minutes": c.about_minutes, "most": c.reach_minutes}
        reasons.append(Reason("near_reach_end", facts))
    if not c.knows_taxon:
        reasons.append(Reason("does_not_know_taxon"))
    return tuple(reasons)


@dataclass(frozen=True)
class LadderFacts:
    """What stands behind a ladder: the event and day, and the nearest way out of the first rung.

    `holders` how many have been cleared in this role on any day; `nearest_step` who lacks least
    to be cleared, and the step.
    """

    event: int
    day: date
    role: str
    holders: int = 0
    nearest_name: str = ""
    nearest_step: str = ""


def why_nobody(ranking: Ranking, facts: LadderFacts) -> tuple[Reason, ...]:
    """Why no one is suggested, rung by rung, each with its nearest way out; empty if someone is."""
    if ranking.matches:
        return ()
    base: dict[str, Fact] = {"event": facts.event, "day": facts.day, "role": facts.role}
    cleared = [
        c for r, people in ranking.left_out.items() if r is not Rung.NOT_CLEARED for c in people
    ]
    if not cleared:
        return (_nobody_cleared(facts, base),)
    return tuple(
        Reason(code, base | {"n": len(people), "name": people[0].name, **_way(people[0])})
        for rung, code in _RUNG_CODES
        if (people := ranking.left_out.get(rung, ()))
    )


_RUNG_CODES: Sequence[tuple[Rung, str]] = (
    (Rung.SAID_NO, "all_said_no"),
    (Rung.NOT_FREE, "cleared_not_free"),
    (Rung.OUT_OF_REACH, "cleared_out_of_reach"),
)


def _nobody_cleared(facts: LadderFacts, base: dict[str, Fact]) -> Reason:
    if facts.holders == 0:
        return Reason("nobody_ever_cleared", base)
    if facts.nearest_name:
        step: dict[str, Fact] = {"name": facts.nearest_name, "step": facts.nearest_step}
        return Reason("nobody_cleared_nearest", base | step | {"n": facts.holders})
    return Reason("nobody_cleared_that_day", base | {"n": facts.holders})


def _way(candidate: Candidate) -> dict[str, Fact]:
    return {
        "minutes": candidate.about_minutes,
        "most": candidate.reach_minutes,
        "other": candidate.busy_with,
    }
