"""Each population without an event has a true reason, and what is said to help does help."""

from __future__ import annotations

import copy
import os
from dataclasses import replace
from typing import Any

import pytest

from roster.measure.plan_problems import make
from roster.planning import explain
from roster.planning.problem import Limits, Plan, Problem
from roster.planning.reading import read_problem
from roster.planning.remedies import Act, applied, remedy
from roster.planning.rivals import force_in
from roster.planning.season import Season
from roster.planning.solve import solve
from roster.planning.verify import faults

HOW_MANY = int(os.environ.get("ROSTER_REASONS", "20"))
Document = dict[str, Any]

SOUND: Document = {
    "format": "roster-plan-1", "first_day": "2027-06-10", "day_count": 10,
    "rules": {"ripe_at_least": 0.25, "spacing_days": 3, "after_target": 0.2, "after_first": 0.3,
              "per_event": 0.15, "per_km": 0.002,
              "keep": {"day": 1, "lead": 0.5, "data_collector": 0.25}, "frozen_until": 0},
    "targets": [{"id": "T", "value": 1.0, "amount": 5.0}],
    "populations": [{"id": "P", "lat": 46.0, "lon": -117.0, "target": "T", "amount": 1.0,
                     "visits": 1, "crew": 2, "open": [[0, 9]],
                     "ripe": {"from": 4, "share": [0.5, 0.5]}}],
    "people": [{"id": "L", "lat": 46.0, "lon": -117.1, "km": 20, "per_month": 1,
                "free": [[0, 9]], "lead": [[0, 9]]},
               {"id": "D", "lat": 46.0, "lon": -117.1, "km": 20, "per_month": 1,
                "free": [[0, 9]], "data_collector": [[0, 9]]}],
    "crew_cells": [{"id": "C", "lat": 46.0, "lon": -117.0, "km": 20, "people": [2] * 10}],
}  # fmt: skip

P, LEAD, DATA = ("populations", 0), ("people", 0), ("people", 1)
LADDER: dict[str, tuple[list[tuple[tuple[str | int, ...], Any]], str]] = {
    "lead lives too far": ([((*LEAD, "km"), 5)], explain.NO_LEAD_IN_REACH),
    "nobody was ever cleared to lead": ([((*LEAD, "lead"), [])], explain.NO_LEAD_IN_REACH),
    "data collector lives too far": ([((*DATA, "km"), 5)], explain.NO_COLLECTOR_IN_REACH),
    "no visit allowed": ([((*P, "visits"), 0)], explain.NO_VISITS_LEFT),
    "never ripe enough": ([((*P, "ripe", "share"), [0.2, 0.2])], explain.NEVER_OPEN_AND_RIPE),
    "open until the day before": ([((*P, "open"), [[0, 3]])], explain.NEVER_OPEN_AND_RIPE),
    "lapses the day before": ([((*LEAD, "lead"), [[0, 3]])], explain.LEADS_NOT_CLEARED),
    "cleared the day after": ([((*DATA, "data_collector"), [[6, 9]])],
                              explain.COLLECTORS_NOT_CLEARED),
    "lead away": ([((*LEAD, "free"), [[0, 3], [6, 9]])], explain.NO_LEAD_FREE),
    "lead gives no day a month": ([((*LEAD, "per_month"), 0)], explain.NO_LEAD_FREE),
    "data collector away": ([((*DATA, "free"), [[0, 3]])], explain.NO_COLLECTOR_FREE),
    "never on the same day": ([((*LEAD, "free"), [[4, 4]]), ((*DATA, "free"), [[5, 5]])],
                              explain.NEVER_SAME_DAY),
    "one person for both": ([((*LEAD, "data_collector"), [[0, 9]]), ((*DATA, "km"), 1)],
                            explain.ONE_PERSON_FOR_BOTH),
    "crew one short": ([(("crew_cells", 0, "people"), [2] * 4 + [1, 1] + [2] * 4)],
                       explain.CREW_SHORT),
    "costs more than it brings": ([(("rules", "per_event"), 0.6)], explain.ONLY_AT_A_LOSS),
}  # fmt: skip


def changed(changes: list[tuple[tuple[str | int, ...], Any]]) -> Problem:
    document = copy.deepcopy(SOUND)
    for way, value in changes:
        held: Any = document
        for step in way[:-1]:
            held = held[step]
        held[way[-1]] = value
    return read_problem(document)


def test_nothing_is_missing_where_nothing_is_changed() -> None:
    plan = solve(changed([]), Limits(seconds=10))
    assert [e.population for e in plan.events] == ["P"]
    assert plan.unserved == ()


@pytest.mark.parametrize("what", LADDER)
def test_the_reason_is_the_rung_that_fails(what: str) -> None:
    changes, code = LADDER[what]
    plan = solve(changed(changes), Limits(seconds=10))
    assert [(u.population, u.reason) for u in plan.unserved] == [("P", code)]
    assert plan.events == ()


@pytest.mark.parametrize("what", [w for w in LADDER if w not in ("costs more than it brings",
                                                                 "never ripe enough")])  # fmt: skip
def test_the_remedy_makes_an_event_possible(what: str) -> None:
    problem = changed(LADDER[what][0])
    steps = remedy(Season(problem), 0)
    assert 1 <= len(steps) <= 2
    plan = solve(applied(problem, "P", steps), Limits(seconds=10))
    assert [e.population for e in plan.events] == ["P"]


def test_what_is_never_ripe_has_no_remedy() -> None:
    assert remedy(Season(changed(LADDER["never ripe enough"][0])), 0) == ()


def test_the_nearest_person_who_lacks_one_thing_is_named() -> None:
    (step,) = remedy(Season(changed(LADDER["lead away"][0])), 0)
    assert (step.act, step.who, step.role, step.day) == (Act.FREE, "L", "lead", 4)
    (step,) = remedy(Season(changed(LADDER["lead lives too far"][0])), 0)
    assert (step.act, step.who, step.number) == (Act.FARTHER, "L", 8)


def test_remedies_hold_for_a_season_of_four_hundred_populations() -> None:
    problem = read_problem(make(11, "medium"))
    season, tried = Season(problem), 0
    for i, p in enumerate(problem.populations):
        if explain.ladder(season, i, 1.0)[0] == explain.LOST_IN_COMPETITION or tried >= HOW_MANY:
            continue
        steps = remedy(season, i)
        if not steps:
            assert season.share[i].max() < season.rules.ripe_at_least
            continue
        alone = replace(applied(problem, p.id, steps), promised=())
        only = replace(alone, populations=tuple(x for x in alone.populations if x.id == p.id))
        assert explain.ladder(Season(only), 0, 1.0)[0] == explain.LOST_IN_COMPETITION, (p.id, steps)
        tried += 1
    assert tried == HOW_MANY


def competition() -> tuple[Problem, Plan]:
    document = copy.deepcopy(SOUND)
    other = copy.deepcopy(document["populations"][0]) | {"id": "Q", "amount": 1.2}
    document["populations"].append(other)
    problem = read_problem(document)
    return problem, solve(problem, Limits(seconds=10))


def test_the_rival_is_named_by_forcing_the_population_in() -> None:
    problem, plan = competition()
    assert [e.population for e in plan.events] == ["Q"]
    assert [(u.population, u.reason) for u in plan.unserved] == [("P", explain.LOST_IN_COMPETITION)]
    rivalry = force_in(Season(problem), plan, "P", Limits(seconds=10))
    assert rivalry.event is not None
    assert [e.population for e in rivalry.gone] == ["Q"]
    assert rivalry.cost == pytest.approx(0.1)
    assert not rivalry.within_gap


def test_a_cost_within_what_is_not_proven_is_said_to_be_so() -> None:
    problem, plan = competition()
    doubtful = replace(plan, bound=plan.value + 0.2)
    assert force_in(Season(problem), doubtful, "P", Limits(seconds=10)).within_gap


def test_a_population_that_cannot_be_served_cannot_be_forced_in() -> None:
    problem = changed(LADDER["crew one short"][0])
    plan = solve(problem, Limits(seconds=10))
    assert force_in(Season(problem), plan, "P", Limits(seconds=10)).event is None


def test_forcing_in_keeps_every_rule_in_a_larger_season() -> None:
    problem = read_problem(make(1, "small"))
    plan = solve(problem, Limits(seconds=8, gap=0.02))
    lost = [u for u in plan.unserved if u.reason == explain.LOST_IN_COMPETITION]
    assert lost
    for one in lost:
        limits = Limits(seconds=20, nodes=50, gap=1e-4)
        rivalry = force_in(Season(problem), plan, one.population, limits)
        assert rivalry.event is not None
        kept = [e for e in plan.events if e not in rivalry.gone]
        told = {(e.population, e.day, e.lead, e.data_collector) for e in (*kept, *rivalry.new)}
        assert (one.population, rivalry.event.day) in {(t[0], t[1]) for t in told}
    assert faults(problem, plan.events) == []
