"""What would make a population plannable: the fewest changes, on the day that needs fewest.

Only what a coordinator can act on: one more day of permission, one more day of a named person,
a certificate, a longer way, more crew, a visit more, or somebody new.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from roster.planning.explain import Ground, ground_of
from roster.planning.problem import Cell, Person, Population, Problem
from roster.planning.season import Season


class Act(StrEnum):
    """What can be done."""

    OPEN = "open_that_day"
    VISIT = "allow_one_visit"
    FREE = "ask_to_be_free"
    CLEAR = "clear_for_the_role"
    FARTHER = "ask_to_go_farther"
    MONTH = "ask_for_one_more_day_that_month"
    NEW = "find_somebody_new"
    CREW = "find_more_crew"


@dataclass(frozen=True, slots=True)
class Step:
    """One change: for a person `who` and `role`, for crew and distance the `number`."""

    act: Act
    day: int
    who: str = ""
    role: str = ""
    number: float = 0.0


@dataclass(frozen=True)
class Place:
    """A population with its ladder and who lives around it."""

    ground: Ground
    around: list[tuple[float, int]]


def remedy(season: Season, plant: int) -> tuple[Step, ...]:
    """The steps that together make an event possible; none if none is needed or no day is ripe."""
    ripe = season.share[plant] >= season.rules.ripe_at_least
    ripe[: season.rules.frozen_until] = False
    earliest = _rested(season, plant)
    ripe[:earliest] = False
    best: tuple[Step, ...] | None = None
    ground = Place(ground_of(season, plant, np.flatnonzero(ripe)), _around(season, plant))
    for d in sorted(np.flatnonzero(ripe).tolist(), key=lambda d: -season.share[plant, d]):
        steps = _steps(season, ground, int(d))
        if best is None or len(steps) < len(best):
            best = steps
        if len(best) <= 1:
            break
    return best or ()


def _rested(season: Season, plant: int) -> int:
    """The first day that is far enough from the population's frozen events."""
    p = season.problem.populations[plant]
    frozen = [m.day for m in season.problem.frozen() if m.population == p.id]
    return max(frozen) + p.apart if frozen else 0


def _around(season: Season, plant: int) -> list[tuple[float, int]]:
    """Everybody who could be asked, nearest first: at most twice their reach and 50 km away."""
    ways = [(season.km(plant, i), i) for i in range(len(season.problem.people))]
    return sorted(one for one in ways if one[0] <= 2 * season.problem.people[one[1]].km + 50)


def _steps(season: Season, place: Place, d: int) -> tuple[Step, ...]:
    plant = place.ground.plant
    p = season.problem.populations[plant]
    steps = []
    if not season.open[plant, d]:
        steps.append(Step(Act.OPEN, d))
    if season.visits[plant] == 0:
        steps.append(Step(Act.VISIT, d))
    steps += _people(season, place, d)
    there = int(season.crew[season.by_cell[plant][0], d].sum())
    if there < p.crew:
        steps.append(Step(Act.CREW, d, number=p.crew - there))
    return tuple(steps)


def _people(season: Season, place: Place, d: int) -> list[Step]:
    ground = place.ground
    column = int(np.searchsorted(ground.days, d))
    able = {role: set(ground.near[role][ground.able[role][:, column]].tolist())
            for role in ("lead", "data_collector")}  # fmt: skip
    steps = []
    if not able["lead"] and not able["data_collector"]:
        first = _find(season, place, d, "lead", set())
        other = {season.person_at[first.who]} if first.who else set()
        steps = [first, _find(season, place, d, "data_collector", other)]
    elif not able["lead"]:
        only = able["data_collector"] if len(able["data_collector"]) == 1 else set()
        steps = [_find(season, place, d, "lead", only)]
    elif not able["data_collector"] or len(able["lead"] | able["data_collector"]) < 2:
        only = able["lead"] if len(able["lead"]) == 1 else set()
        steps = [_find(season, place, d, "data_collector", only)]
    return steps


def _find(season: Season, place: Place, d: int, role: str, but: set[int]) -> Step:
    """What the nearest person lacks who lacks one thing only; somebody new if there is none."""
    for way, i in place.around:
        q = season.problem.people[i]
        if i in but:
            continue
        lacks = _lacks(season, i, d, role)
        if way > q.km + 1e-9:
            lacks.append(Step(Act.FARTHER, d, q.id, role, float(np.ceil(way))))
        if len(lacks) == 1:
            return lacks[0]
    return Step(Act.NEW, d, "", role)


def _lacks(season: Season, person: int, d: int, role: str) -> list[Step]:
    q = season.problem.people[person]
    lacks = []
    cleared = bool(season.cleared[role][person, d])
    if not cleared:
        lacks.append(Step(Act.CLEAR, d, q.id, role))
    if not season.free[person, d]:
        lacks.append(Step(Act.FREE, d, q.id, role))
    if season.cap[person, season.month[d]] < 1:
        lacks.append(Step(Act.MONTH, d, q.id, role))
    return lacks


def applied(problem: Problem, population: str, steps: tuple[Step, ...]) -> Problem:
    """The problem as it would be after the steps: a trial of what they bring."""
    for step in steps:
        problem = _apply(problem, population, step)
    return problem


def _apply(problem: Problem, population: str, step: Step) -> Problem:
    if step.act in (Act.OPEN, Act.VISIT):
        plants = tuple(_plant(p, step) if p.id == population else p for p in problem.populations)
        return replace(problem, populations=plants)
    if step.act in (Act.CREW, Act.NEW):
        place = next(p for p in problem.populations if p.id == population)
        return _newcomers(problem, place, step)
    people = tuple(_person(q, step) if q.id == step.who else q for q in problem.people)
    return replace(problem, people=people)


def _plant(p: Population, step: Step) -> Population:
    if step.act is Act.OPEN:
        return replace(p, open=tuple(sorted((*p.open, (step.day, step.day)))))
    return replace(p, visits=p.visits + 1)


def _newcomers(problem: Problem, p: Population, step: Step) -> Problem:
    """Somebody new, or more crew, who live at the population itself."""
    if step.act is Act.CREW:
        people = tuple(int(step.number) if d == step.day else 0 for d in range(problem.day_count))
        cell = Cell(f"more crew {len(problem.crew_cells)}", p.lat, p.lon, 1.0, people)
        return replace(problem, crew_cells=(*problem.crew_cells, cell))
    day = ((step.day, step.day),)
    name = f"somebody new {len(problem.people)}"
    lead, other = (day, ()) if step.role == "lead" else ((), day)
    new = Person(name, p.lat, p.lon, 1.0, 1, day, lead, other)
    return replace(problem, people=(*problem.people, new))


def _person(q: Person, step: Step) -> Person:
    day = (step.day, step.day)
    if step.act is Act.FREE:
        return replace(q, free=tuple(sorted((*q.free, day))))
    if step.act is Act.FARTHER:
        return replace(q, km=step.number)
    if step.act is Act.MONTH:
        return replace(q, per_month=q.per_month + 1)
    if step.role == "lead":
        return replace(q, lead=tuple(sorted((*q.lead, day))))
    return replace(q, data_collector=tuple(sorted((*q.data_collector, day))))


def said(step: Step) -> str:
    """The step in a few words, days as the problem counts them."""
    role = step.role.replace("_", " ")
    words = {
        Act.OPEN: f"permission for day {step.day}",
        Act.VISIT: "one visit more",
        Act.FREE: f"{step.who} free on day {step.day} ({role})",
        Act.CLEAR: f"{step.who} cleared as {role} on day {step.day}",
        Act.FARTHER: f"{step.who} going {step.number:g} km on day {step.day} ({role})",
        Act.MONTH: f"{step.who} one more day in the month of day {step.day} ({role})",
        Act.NEW: f"a new {role} nearby on day {step.day}",
        Act.CREW: f"{step.number:g} more crew on day {step.day}",
    }
    return words[step.act]
