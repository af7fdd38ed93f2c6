"""Why a population has no event: the first rung of a ladder that it cannot climb.

Each rung is a condition that every event needs, tested on the days left by the rungs below; the
first that fails is a proof by itself. Only the last rung, lost in competition, is no proof.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates
from roster.planning.objective import gains
from roster.planning.problem import Event, Unserved
from roster.planning.season import Flags, Ints, Season

NO_LEAD_IN_REACH = "no_lead_in_reach"
NO_COLLECTOR_IN_REACH = "no_data_collector_in_reach"
NO_VISITS_LEFT = "no_visits_left"
NEVER_OPEN_AND_RIPE = "never_open_and_ripe"
LEADS_NOT_CLEARED = "leads_not_cleared_then"
COLLECTORS_NOT_CLEARED = "data_collectors_not_cleared_then"
NO_LEAD_FREE = "no_lead_free"
NO_COLLECTOR_FREE = "no_data_collector_free"
NEVER_SAME_DAY = "never_on_the_same_day"
ONE_PERSON_FOR_BOTH = "one_person_for_both_roles"
CREW_SHORT = "crew_short"
ONLY_AT_A_LOSS = "only_at_a_loss"
LOST_IN_COMPETITION = "lost_in_competition"


@dataclass(frozen=True)
class Ground:
    """One population as the ladder sees it: who is near, and who could when (person x day)."""

    plant: int
    days: Ints
    near: dict[str, Ints]
    cleared: dict[str, Flags]
    able: dict[str, Flags]


def reasons(c: Candidates, events: Sequence[Event]) -> list[Unserved]:
    """A reason for each population without an event, in the order of the problem."""
    season = c.season
    served = {e.population for e in events}
    best = _best_gain(c)
    return [
        Unserved(p.id, *ladder(season, i, best.get(i)))
        for i, p in enumerate(season.problem.populations)
        if p.id not in served
    ]


def ladder(season: Season, plant: int, best: float | None) -> tuple[str, str]:
    """The first rung that fails, with particulars; `best` is the best visit's gain alone."""
    ground = ground_of(season, plant)
    for rung in (_reach, _days, _cleared, _free, _together, _crew):
        failed = rung(season, ground)
        if failed is not None:
            return failed
    if best is None or best <= 0:
        return ONLY_AT_A_LOSS, f"the best day is worth {0.0 if best is None else best:.3f}"
    return LOST_IN_COMPETITION, f"alone it would be worth {best:.3f}"


def ground_of(season: Season, plant: int, days: Ints | None = None) -> Ground:
    """The population's neighbours and its open, ripe days that are not frozen, or given days."""
    if days is None:
        days = np.flatnonzero(season.possible[plant])
    who = season.by_person[plant][0]
    near, cleared, able = {}, {}, {}
    month = season.month[days]
    for role in ("lead", "data_collector"):
        ever = np.array([bool(getattr(season.problem.people[q], role)) for q in who], dtype=bool)
        people = who[ever] if len(who) else who
        near[role] = people
        cleared[role] = season.cleared[role][np.ix_(people, days)]
        able[role] = season.clear[role][np.ix_(people, days)] & (
            season.cap[np.ix_(people, month)] > 0
        )
    return Ground(plant, days, near, cleared, able)


def _reach(season: Season, ground: Ground) -> tuple[str, str] | None:
    for role, code in (("lead", NO_LEAD_IN_REACH), ("data_collector", NO_COLLECTOR_IN_REACH)):
        if not len(ground.near[role]):
            return code, _nearest(season, ground.plant, role)
    return None


def _nearest(season: Season, plant: int, role: str) -> str:
    """Who is least far beyond their reach."""
    beyond = [
        (season.km(plant, i) - q.km, q)
        for i, q in enumerate(season.problem.people)
        if getattr(q, role)
    ]
    if not beyond:
        return "nobody is cleared in that role"
    more, q = min(beyond, key=lambda pair: pair[0])
    return f"{q.id} would have to go {more:.1f} km beyond their {q.km:g} km"


def _days(season: Season, ground: Ground) -> tuple[str, str] | None:
    if season.visits[ground.plant] == 0:
        return NO_VISITS_LEFT, "no visits are allowed or all are used on frozen days"
    if len(ground.days):
        return None
    ripe = season.share[ground.plant] >= season.rules.ripe_at_least
    ripe[: season.rules.frozen_until] = False
    if not ripe.any():
        top = float(season.share[ground.plant].max())
        return NEVER_OPEN_AND_RIPE, f"the chance ready is never high enough (at most {top:g})"
    first, last = np.flatnonzero(ripe)[[0, -1]]
    return NEVER_OPEN_AND_RIPE, f"ripe from day {first} to {last}, but not open on any of them"


def _cleared(season: Season, ground: Ground) -> tuple[str, str] | None:
    for role, code in (("lead", LEADS_NOT_CLEARED), ("data_collector", COLLECTORS_NOT_CLEARED)):
        if not ground.cleared[role].any():
            return code, f"{len(ground.near[role])} in reach, none cleared on its days"
    return None


def _free(season: Season, ground: Ground) -> tuple[str, str] | None:
    for role, code in (("lead", NO_LEAD_FREE), ("data_collector", NO_COLLECTOR_FREE)):
        if not ground.able[role].any():
            return code, f"{len(ground.near[role])} in reach, none free on its days"
    return None


def _both(ground: Ground) -> tuple[Flags, Flags]:
    """Days with somebody for each role, and days with two different people for them."""
    lead, other = ground.able["lead"], ground.able["data_collector"]
    same_day = lead.any(axis=0) & other.any(axis=0)
    shared = np.isin(ground.near["lead"], ground.near["data_collector"])
    index = {int(q): i for i, q in enumerate(ground.near["data_collector"])}
    rows = [index[int(q)] for q in ground.near["lead"][shared]]
    in_both = (lead[shared] & other[rows]).sum(axis=0)
    people = lead.sum(axis=0) + other.sum(axis=0) - in_both
    return np.asarray(same_day), np.asarray(same_day & (people >= 2))


def _together(season: Season, ground: Ground) -> tuple[str, str] | None:
    same_day, two = _both(ground)
    if not same_day.any():
        return NEVER_SAME_DAY, "a lead and a data collector are never free on the same day"
    if not two.any():
        return ONE_PERSON_FOR_BOTH, "the only lead is the only data collector on each such day"
    return None


def _crew(season: Season, ground: Ground) -> tuple[str, str] | None:
    _, two = _both(ground)
    days = ground.days[two]
    there = season.crew[np.ix_(season.by_cell[ground.plant][0], days)].sum(axis=0)
    need = season.problem.populations[ground.plant].crew
    if int(there.max(initial=0)) < need:
        return CREW_SHORT, f"needs {need}, at most {int(there.max(initial=0))} can be counted on"
    return None


def _best_gain(c: Candidates) -> dict[int, float]:
    """For each population that has candidates the gain of its best visit, taken alone."""
    told = gains(c)
    lead = np.full(c.count, -np.inf)
    other = np.full(c.count, -np.inf)
    np.maximum.at(lead, c.leads.visit, told.leads)
    np.maximum.at(other, c.collectors.visit, told.collectors)
    best: dict[int, float] = {}
    for p, gain in zip(c.plant.tolist(), (told.visits + lead + other).tolist(), strict=True):
        best[p] = max(gain, best.get(p, -np.inf))
    return best
