"""`leads EVENT`: exit 0 with a ranking, 1 if nobody can be asked; an event that is not there."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click import BadParameter
from click.testing import Result
from flask import Flask

from roster.domain.errors import NotFound
from roster.domain.people import Role
from tests.support.crews import open_event
from tests.support.land import Land, land
from tests.support.leads import FAR, NEAR, a_lead, knows


@pytest.fixture
def ground(app: Flask) -> Land:
    return land()


def run(app: Flask, *words: str) -> Result:
    return app.test_cli_runner().invoke(args=["leads", *words], standalone_mode=False)


def told(app: Flask, *words: str) -> dict[str, Any]:
    result = run(app, *words, "--json")
    assert result.exception is None, result.exception
    answer: dict[str, Any] = json.loads(result.output)
    return answer


def test_the_ranking_is_printed_with_reasons_for_and_against(app: Flask, ground: Land) -> None:
    event = open_event(ground)
    ana = a_lead("Ana Ferrer", NEAR, Role.FIRST_AIDER)
    knows(ana, ground)
    a_lead("Gus Pettersen", FAR)
    answer = told(app, str(event))
    assert answer["answer"] == "yes"
    first, second = answer["result"]["leads"]
    assert (first["rank"], first["person"], first["name"]) == (1, f"V{ana}", "Ana Ferrer")
    assert first["for"][0]["code"] == "knows_taxon"
    assert [r["code"] for r in second["against"]] == ["does_not_know_taxon"]
    assert answer["reasons"] == []
    plain = run(app, str(event))
    assert plain.return_value == 0
    assert plain.output.startswith("1. Ana Ferrer")


def test_nobody_to_ask_is_a_considered_no_with_the_reason(app: Flask, ground: Land) -> None:
    event = open_event(ground)
    assert run(app, str(event)).return_value == 1
    answer = told(app, str(event))
    assert (answer["answer"], answer["result"]["leads"]) == ("no", [])
    assert [r["code"] for r in answer["reasons"]] == ["nobody_ever_cleared"]
    assert answer["reasons"][0]["remedy"]


def test_the_limit_cuts_the_list(app: Flask, ground: Land) -> None:
    event = open_event(ground)
    for name in ("Ana", "Gus", "Lou"):
        a_lead(name)
    assert len(told(app, str(event), "--limit", "2")["result"]["leads"]) == 2


def test_an_event_that_is_not_there_is_said_so(app: Flask, ground: Land) -> None:
    assert type(run(app, "4711").exception) is NotFound


@pytest.mark.parametrize("number", ["x", "0", "-3"])
def test_what_is_no_event_number_is_refused(app: Flask, number: str) -> None:
    assert isinstance(run(app, "--", number).exception, BadParameter)
