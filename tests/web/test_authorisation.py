"""Who gets into which route: every route of the URL map against a table written by hand.

expected_access.csv has a line for each method and rule: who gets in when the object is of the own
region (or there is no object), and who when it is of the other. Everybody else is turned away.
The views are replaced by a stub, so that only the gate answers.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from flask import Flask
from werkzeug.routing import Rule
from werkzeug.test import TestResponse

from roster.services.clock import SetClock
from roster.web.access import rule_of
from tests.conftest import NOW
from tests.support.browser import Browser
from tests.support.databases import Sqlite
from tests.support.world import World, build

TABLE = Path(__file__).with_name("expected_access.csv")
METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
PEOPLE = (
    "volunteer", "crew", "lead", "other_crew", "other_lead", "regional", "other_regional",
    "coordinator", "ex_staff", "duty", "minor", "guardian_person",
)  # fmt: skip
EVERYBODY = ("anonymous", *PEOPLE)
WORDS = {"everybody": EVERYBODY, "signed-in": PEOPLE, "nobody": (), "": ()}


class Cell(NamedTuple):
    """One line of the table."""

    method: str
    rule: str
    own: frozenset[str]
    other: frozenset[str]


def audiences(text: str) -> frozenset[str]:
    found: set[str] = set()
    for name in text.split():
        named = WORDS.get(name, (name,))
        assert set(named) <= set(EVERYBODY), f"no such audience: {name}"
        found.update(named)
    return frozenset(found)


def table() -> list[Cell]:
    with TABLE.open(newline="") as lines:
        return [
            Cell(row["method"], row["rule"], audiences(row["own"]), audiences(row["other"]))
            for row in csv.DictReader(lines)
        ]


CELLS = table()


class Gate(NamedTuple):
    """The application with stubs for views, the world, a browser for each audience."""

    app: Flask
    world: World
    browsers: dict[str, Browser]
    rules: dict[str, Rule]


@pytest.fixture(scope="module")
def gate(sqlite_template: Sqlite, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Gate]:
    folder = tmp_path_factory.mktemp("gate")
    with sqlite_template.fresh(folder, SetClock(NOW)) as app:
        app.config["WTF_CSRF_ENABLED"] = False
        world = build()
        browsers = {who: world.browser(app, who) for who in EVERYBODY}
        for endpoint in list(app.view_functions):
            if endpoint != "static":
                app.view_functions[endpoint] = stub(app, endpoint)
        yield Gate(app, world, browsers, {rule.rule: rule for rule in routes(app)})


def stub(app: Flask, endpoint: str):
    def reached(**_values: object) -> str:
        return "reached"

    reached.roster_rule = rule_of(app, endpoint)  # type: ignore[attr-defined]
    return reached


def routes(app: Flask) -> list[Rule]:
    return [rule for rule in app.url_map.iter_rules() if rule.endpoint != "static"]


def address(gate: Gate, rule: str, side: str) -> str:
    """The address of a rule, its object of the own or of the other region."""
    world = gate.world
    objects = {
        "event_id": world.events[side],
        "person_id": world.people["volunteer" if side == "own" else "other_crew"],
        "site_id": world.sites[side],
        "region_id": world.regions[side],
        "population_id": world.populations[side],
    }
    found = gate.rules[rule]
    values = {name: objects.get(name, 1) for name in found.arguments}
    with gate.app.test_request_context():
        return gate.app.url_for(found.endpoint, **values)


def got_in(answer: TestResponse) -> bool:
    return answer.status_code == 200 and answer.get_data() == b"reached"


def turned_away(who: str, method: str, answer: TestResponse) -> bool:
    if who == "anonymous":
        if method == "GET":
            return answer.status_code == 302 and answer.location.startswith("/sign-in?next=")
        return answer.status_code == 401
    return answer.status_code in (403, 404)


def test_every_route_declares_its_audience(app: Flask) -> None:
    silent = [rule.rule for rule in routes(app) if rule_of(app, rule.endpoint) is None]
    assert silent == []


def test_a_route_without_a_declared_audience_is_never_served(app: Flask) -> None:
    app.add_url_rule("/silent", "silent", lambda: "secret")
    answer = Browser(app).get("/silent")
    assert answer.status_code == 500
    assert b"secret" not in answer.get_data()


def test_the_table_has_every_route_and_no_other(app: Flask) -> None:
    there = {
        (method, rule.rule)
        for rule in routes(app)
        for method in (rule.methods or set()) & set(METHODS)
    }
    listed = [(cell.method, cell.rule) for cell in CELLS]
    assert len(listed) == len(set(listed))
    assert {f"{m} {r}" for m, r in there - set(listed)} == set(), "missing from the table"
    assert {f"{m} {r}" for m, r in set(listed) - there} == set(), "in the table, but no route"


@pytest.mark.parametrize("cell", CELLS, ids=lambda cell: f"{cell.method} {cell.rule}")
def test_a_route_lets_in_whom_the_table_names_and_nobody_else(gate: Gate, cell: Cell) -> None:
    if cell.rule not in gate.rules:
        pytest.fail(f"{cell.rule} is no route")
    for side, allowed in (("own", cell.own), ("other", cell.other)):
        path = address(gate, cell.rule, side)
        for who in EVERYBODY:
            answer = gate.browsers[who].open(path, method=cell.method)
            case = f"{who} {cell.method} {path} ({side}): {answer.status_code}"
            if who in allowed:
                assert got_in(answer), case
            else:
                assert turned_away(who, cell.method, answer), case


def test_what_does_not_exist_and_what_is_not_yours_get_the_same_answer(gate: Gate) -> None:
    for rule in gate.rules.values():
        declared = rule_of(gate.app, rule.endpoint)
        if declared is None or declared.of not in ("event", "person", "site"):
            continue
        if "GET" not in (rule.methods or set()) or {"anyone", "person"} & declared.audiences:
            continue
        values = dict.fromkeys(rule.arguments, 1)
        foreign = gate.browsers["other_regional"]
        with gate.app.test_request_context():
            missing = gate.app.url_for(rule.endpoint, **values | {f"{declared.of}_id": 999_999})
        answers = [foreign.get(missing), foreign.get(address(gate, rule.rule, "own"))]
        # of two answers the links back, the form tokens and their own numbers differ
        differing = r'(href|value)="[^"]*"|<b class="code">[^<]*</b>'
        pages = [re.sub(differing, "", a.get_data(as_text=True)) for a in answers]
        assert answers[0].status_code == 404, missing
        if answers[1].status_code == 404:
            assert pages[0] == pages[1], rule.rule
