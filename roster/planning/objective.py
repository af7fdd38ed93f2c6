"""What counts in a plan, and by how much: the value of chosen events, and each choice's share.

Value = worth of the amounts expected - cost per event - cost per km there and back of lead and
data collector - what tapers past a target and past a population's own amount - broken promises.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates, Posts
from roster.planning.problem import Event
from roster.planning.season import Floats, Ints, Season


@dataclass(frozen=True)
class Gains:
    """What each choice adds by itself; `constant` is there in any case."""

    visits: Floats
    leads: Floats
    collectors: Floats
    per_target: Floats
    per_plant: Floats
    constant: float


def gains(candidates: Candidates) -> Gains:
    """The shares of the value; promises not yet frozen are counted as broken until chosen."""
    season, rules = candidates.season, candidates.season.rules
    visits = np.array(season.gross[candidates.plant, candidates.day])
    leads = -2 * rules.per_km * candidates.leads.km
    collectors = -2 * rules.per_km * candidates.collectors.km
    constant = season.frozen_value
    at = {
        (int(p), int(d)): v
        for v, (p, d) in enumerate(zip(candidates.plant, candidates.day, strict=True))
    }
    for m in season.problem.promised:
        if m.day < rules.frozen_until:
            continue
        constant -= rules.keep_all
        v = at.get((season.plant_at[m.population], m.day))
        if v is not None:
            visits[v] += rules.keep_day
            lead = post_of(candidates.leads, v, season.person_at[m.lead])
            leads[lead] += rules.keep_lead
            other = post_of(candidates.collectors, v, season.person_at[m.data_collector])
            collectors[other] += rules.keep_data_collector
    values = np.array([t.value for t in season.problem.targets], dtype=np.float64)
    return Gains(visits, leads, collectors, -(1 - rules.after_target) * values,
                 -(1 - rules.after_first) * season.worth, constant)  # fmt: skip


def post_of(posts: Posts, visit: int, person: int) -> Ints:
    """Where the post of that person on that visit stands: one index, or none."""
    first, last = np.searchsorted(posts.visit, [visit, visit + 1])
    return np.asarray(first + np.flatnonzero(posts.person[first:last] == person))


def value_of(season: Season, events: Iterable[Event]) -> float:
    """What the events are worth together, frozen ones included, as the problem states it."""
    rules = season.rules
    total = 0.0
    per_target, per_plant = np.zeros(len(season.wanted)), np.zeros(len(season.amount))
    at: dict[tuple[str, int], Event] = {}
    for e in events:
        p = season.plant_at[e.population]
        way = sum(season.km(p, season.person_at[q]) for q in (e.lead, e.data_collector))
        total += float(season.gross[p, e.day]) - 2 * rules.per_km * way
        per_target[season.target[p]] += season.yields[p, e.day]
        per_plant[p] += season.yields[p, e.day]
        at[e.population, e.day] = e
    values = np.array([t.value for t in season.problem.targets], dtype=np.float64)
    over_target = np.maximum(0.0, per_target - season.wanted)
    over_plant = np.maximum(0.0, per_plant - season.amount)
    total -= (1 - rules.after_target) * float(values @ over_target)
    total -= (1 - rules.after_first) * float(season.worth @ over_plant)
    return total - broken_promises(season, at)


def broken_promises(season: Season, at: dict[tuple[str, int], Event]) -> float:
    """What falls due for promises that the events do not keep."""
    rules, total = season.rules, 0.0
    for m in season.problem.promised:
        e = at.get((m.population, m.day))
        if e is None:
            total += rules.keep_all
            continue
        total += rules.keep_lead if e.lead != m.lead else 0.0
        total += rules.keep_data_collector if e.data_collector != m.data_collector else 0.0
    return total
