"""The independent check accepts a sound plan and rejects every way of doctoring it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from roster.planning.problem import Event, Problem
from roster.planning.reading import read_problem
from roster.planning.verify import broken_frozen, faults, worth

Change = Callable[[list[Event]], list[Event]]


def person(name: str, **more: Any) -> dict[str, Any]:
    usual: dict[str, Any] = {
        "id": name, "lat": 46.2, "lon": -117.1, "km": 50, "per_month": 2, "free": [[0, 40]],
        "lead": [[0, 40]], "data_collector": [[0, 40]],
    }  # fmt: skip
    return usual | more


def population(name: str, **more: Any) -> dict[str, Any]:
    usual: dict[str, Any] = {
        "id": name, "lat": 46.2, "lon": -117.1, "target": "T", "amount": 1.0, "visits": 2,
        "crew": 3, "open": [[0, 20], [25, 40]],
        "ripe": {"from": 0, "share": [0.2] + [0.5] * 34 + [0.24]},
    }  # fmt: skip
    return usual | more


def problem() -> Problem:
    """40 days from 10 June; day 5 is frozen with a promise, 21 June is day 11, 1 July day 21."""
    cells = [{"id": "C1", "lat": 46.2, "lon": -117.1, "km": 50, "people": [4] * 40},
             {"id": "C2", "lat": 46.2, "lon": -117.1, "km": 50, "people": [4] * 40},
             {"id": "FAR", "lat": 46.9, "lon": -117.1, "km": 50, "people": [9] * 40}]  # fmt: skip
    people = [person(f"V{i}") for i in range(1, 7)] + [
        person("BUSY", free=[[0, 9], [12, 40]]), person("FAR", lat=46.9),
        person("LEAD", data_collector=[]), person("DATA", lead=[]),
        person("LAPSED", lead=[[0, 9]], data_collector=[[0, 9]]),
    ]  # fmt: skip
    rules = {"ripe_at_least": 0.25, "spacing_days": 7, "after_target": 0.2, "after_first": 0.3,
             "per_event": 0.15, "per_km": 0.002,
             "keep": {"day": 1.0, "lead": 0.5, "data_collector": 0.25},
             "frozen_until": 6}  # fmt: skip
    return read_problem({
        "format": "roster-plan-1", "first_day": "2027-06-10", "day_count": 40, "rules": rules,
        "targets": [{"id": "T", "value": 2.0, "amount": 1.5}],
        "populations": [population("P1"), population("P2", crew=0), population("P3")],
        "people": people, "crew_cells": cells,
        "promised": [{"population": "P1", "day": 5, "lead": "V1", "data_collector": "V2"}],
    })  # fmt: skip


SOUND = [
    Event("P1", 5, "V1", "V2", (("C1", 3),)),
    Event("P1", 12, "V1", "V3", (("C1", 2), ("C2", 1))),
    Event("P2", 12, "V4", "V5", ()),
    Event("P3", 12, "LEAD", "DATA", (("C2", 3),)),
    Event("P3", 30, "V1", "V2", (("C1", 3),)),
]


def change(i: int, **fields: Any) -> Change:
    return lambda events: [replace(e, **fields) if k == i else e for k, e in enumerate(events)]


def add(*more: Event) -> Change:
    return lambda events: [*events, *more]


DOCTORED: dict[str, tuple[Change, str]] = {
    "unknown population": (change(2, population="P9"), "unknown_population"),
    "unknown lead": (change(2, lead="V99"), "unknown_person"),
    "unknown data collector": (change(2, data_collector="V99"), "unknown_person"),
    "unknown cell": (change(3, crew=(("C9", 3),)), "unknown_cell"),
    "before the season": (change(4, day=-1), "day_outside_season"),
    "after the season": (change(4, day=40), "day_outside_season"),
    "the same event twice": (add(SOUND[2]), "twice_on_a_day"),
    "not open": (change(4, day=21), "day_not_open"),
    "last open day plus one": (change(3, day=24), "day_not_open"),
    "not ripe enough": (change(4, day=35), "not_ripe_enough"),
    "after the list of shares": (change(4, day=36), "not_ripe_enough"),
    "new event on a frozen day": (change(2, day=4), "day_is_frozen"),
    "frozen event moved": (change(0, day=4), "frozen_promise_changed"),
    "frozen event dropped": (lambda events: events[1:], "frozen_promise_changed"),
    "frozen lead replaced": (change(0, lead="V4"), "frozen_promise_changed"),
    "frozen data collector replaced": (change(0, data_collector="V4"), "frozen_promise_changed"),
    "frozen crew left at home": (change(0, crew=(("C1", 1),)), "crew_left_at_home"),
    "one person in both roles": (change(2, data_collector="V4"), "one_person_in_both_roles"),
    "lead not free": (change(2, lead="BUSY", day=10), "lead_not_free"),
    "data collector not free": (change(2, data_collector="BUSY", day=11),
                                "data_collector_not_free"),
    "lead never cleared": (change(2, lead="DATA", day=13), "lead_not_cleared"),
    "lead's certificate over": (change(2, lead="LAPSED", day=10), "lead_not_cleared"),
    "data collector's over": (change(2, data_collector="LAPSED"), "data_collector_not_cleared"),
    "lead out of reach": (change(2, lead="FAR"), "lead_out_of_reach"),
    "data collector out of reach": (change(2, data_collector="FAR"), "data_collector_out_of_reach"),
    "crew one short": (change(3, crew=(("C2", 2),)), "crew_too_small"),
    "crew one too many": (change(4, crew=(("C1", 4),)), "crew_too_large"),
    "crew where none is needed": (change(2, crew=(("C1", 1),)), "crew_too_large"),
    "crew of minus one": (change(3, crew=(("C2", 4), ("C1", -1))), "crew_not_whole"),
    "a cell that sends nobody": (change(3, crew=(("C2", 3), ("C1", 0))), "crew_not_whole"),
    "a cell named twice": (change(3, crew=(("C2", 2), ("C2", 1))), "cell_named_twice"),
    "cell out of reach": (change(3, crew=(("FAR", 3),)), "cell_out_of_reach"),
    "cell sends more than it has": (change(3, crew=(("C1", 3),)), "cell_overdrawn"),
    "person on two events of a day": (change(2, lead="V1"), "person_twice_a_day"),
    "lead here, data collector there": (change(2, data_collector="LEAD"), "person_twice_a_day"),
    "third event in June": (add(Event("P2", 19, "V1", "V6")), "person_over_month_limit"),
    "third visit": (add(Event("P3", 20, "V4", "V5", (("C1", 3),))), "too_many_visits"),
    "six days after": (change(1, day=11), "too_soon_again"),
}  # fmt: skip


def test_a_sound_plan_is_accepted() -> None:
    assert faults(problem(), SOUND) == []
    assert broken_frozen(problem(), SOUND) == []


@pytest.mark.parametrize("how", DOCTORED)
def test_a_doctored_plan_is_rejected(how: str) -> None:
    doctor, code = DOCTORED[how]
    assert code in {fault.code for fault in faults(problem(), doctor(list(SOUND)))}


def test_the_worth_of_a_plan_added_up_by_hand() -> None:
    # five events at one place of half a unit each: 2 x 2.5 of worth, five times 0.15 to hold;
    # 1.0 past the target at 80 % of 2; P1 and P3 reach their own amount exactly; nobody drives
    assert worth(problem(), SOUND) == pytest.approx(5 - 0.75 - 1.6, abs=1e-12)


def test_a_dropped_promise_costs_all_three_and_a_changed_one_its_role() -> None:
    free = replace(problem().rules, frozen_until=0)
    open_problem = replace(problem(), rules=free)
    kept = worth(open_problem, SOUND[:1])
    assert worth(open_problem, []) == pytest.approx(-1.75)
    assert worth(open_problem, change(0, lead="V4")(SOUND[:1])) == pytest.approx(kept - 0.5)
    both = change(0, lead="V2", data_collector="V1")(SOUND[:1])
    assert worth(open_problem, both) == pytest.approx(kept - 0.75)


def test_seven_days_after_is_late_enough() -> None:
    assert faults(problem(), change(1, day=12)(SOUND)) == []
    assert [f.code for f in faults(problem(), change(1, day=11)(SOUND))] == ["too_soon_again"]
