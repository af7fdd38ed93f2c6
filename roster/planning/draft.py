"""Chosen visits with their people become events with crew; frozen promises come first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from roster.planning.candidates import Candidates
from roster.planning.crew import day_of
from roster.planning.model import Model
from roster.planning.problem import Event
from roster.planning.season import Floats, Season


@dataclass(frozen=True, slots=True)
class Choice:
    """A population, a day and the two people, all by index."""

    plant: int
    day: int
    lead: int
    collector: int


def chosen(c: Candidates, model: Model, values: Floats) -> list[Choice]:
    """What the solver's values say in whole numbers."""
    at = model.layout
    lead = np.full(c.count, -1)
    collector = np.full(c.count, -1)
    taken = np.flatnonzero(values[at.leads : at.collectors] > 0.5)
    lead[c.leads.visit[taken]] = c.leads.person[taken]
    taken = np.flatnonzero(values[at.collectors : at.past_target] > 0.5)
    collector[c.collectors.visit[taken]] = c.collectors.person[taken]
    visits = np.flatnonzero(values[: at.leads] > 0.5)
    return [Choice(int(c.plant[v]), int(c.day[v]), int(lead[v]), int(collector[v])) for v in visits]


def frozen_choices(season: Season) -> list[Choice]:
    """The promises on frozen days."""
    return [
        Choice(season.plant_at[m.population], m.day, season.person_at[m.lead],
               season.person_at[m.data_collector])
        for m in season.problem.frozen()
    ]  # fmt: skip


def events_of(season: Season, choices: Iterable[Choice]) -> list[Event]:
    """The events with crew by cell, frozen ones included, in order of days.

    A choice for which no crew can be found is left out; a frozen one takes what there is.
    """
    by_day: dict[int, list[Choice]] = defaultdict(list)
    for one in [*frozen_choices(season), *choices]:
        by_day[one.day].append(one)
    events = []
    for day in sorted(by_day):
        events += _with_crew(season, day, by_day[day])
    return events


def _with_crew(season: Season, day: int, choices: list[Choice]) -> list[Event]:
    problem = season.problem
    plan = day_of(season, day, {i: one.plant for i, one in enumerate(choices)})
    kept = []
    for i, one in enumerate(choices):
        need = problem.populations[one.plant].crew
        if plan.add(i, need) == need or day < season.rules.frozen_until:
            kept.append(i)
        else:
            plan.drop(i)
    events = []
    for i in sorted(kept, key=lambda i: choices[i].plant):
        one, draw = choices[i], plan.given[i]
        crew = tuple((problem.crew_cells[k].id, n) for k, n in sorted(draw.items()) if n)
        events.append(Event(problem.populations[one.plant].id, day, problem.people[one.lead].id,
                            problem.people[one.collector].id, crew))  # fmt: skip
    return events
