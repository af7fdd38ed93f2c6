"""`feed` and `jobs`: bytes and nothing else, one pass, lists and retries."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from click.testing import Result
from flask import Flask

from roster.domain.errors import BadInput, NotFound, RuleBroken
from roster.ical.check import check_feed
from roster.services.clock import SetClock
from tests.support.crew_mail import UID, change_message, published, put, queued


def run(app: Flask, *words: str) -> Result:
    return app.test_cli_runner().invoke(args=list(words))


def told(app: Flask, *words: str) -> dict[str, Any]:
    result = run(app, *words, "--json")
    assert result.exception is None, result.exception
    answer: dict[str, Any] = json.loads(result.output)
    return answer


def test_feed_prints_the_calendar_and_nothing_else(app: Flask) -> None:
    world = published()
    by_number = run(app, "feed", f"V{world.people['crew']}")
    assert check_feed(by_number.stdout_bytes) == []
    assert UID.encode() in by_number.stdout_bytes
    assert run(app, "feed", "crew@example.org").stdout_bytes == by_number.stdout_bytes
    region = run(app, "feed", "--region", "own")
    assert check_feed(region.stdout_bytes) == []


@pytest.mark.parametrize(
    ("words", "error"),
    [
        ((), BadInput),
        (("V1", "--public"), BadInput),
        (("nobody@example.org",), NotFound),
        (("--region", "nowhere"), NotFound),
        (("--public",), RuleBroken),
    ],
)
def test_a_feed_that_cannot_be_given_prints_no_bytes(
    app: Flask, words: tuple[str, ...], error: type[Exception]
) -> None:
    published()
    result = run(app, "feed", *words)
    assert type(result.exception) is error
    assert result.stdout_bytes == b""


def test_one_pass_sends_what_is_due_at_the_instant_given(app: Flask, clock: SetClock) -> None:
    world = published()
    put(world, "volunteer", "placed")
    assert told(app, "jobs", "run", "--once")["result"]["lines"][-2] == "mail: nothing due"
    later = (clock.now() + timedelta(minutes=11)).isoformat()
    lines = told(app, "jobs", "run", "--once", "--at", later)["result"]["lines"]
    assert lines[-2] == "mail: 1 sent"
    assert queued()[0].state == "sent"


def test_two_passes_at_the_same_instant_do_the_work_once(app: Flask, clock: SetClock) -> None:
    world = published(2)
    assert world.events["own"]
    before = told(app, "jobs", "run", "--once")["result"]["lines"]
    again = told(app, "jobs", "run", "--once")["result"]["lines"]
    assert any("3 queued" in line for line in before)
    assert not any("queued" in line for line in again)
    assert again[-2] == "mail: nothing due"


@pytest.mark.parametrize("text", ["tomorrow", "2027-13-01", ""])
def test_an_instant_that_is_none_is_refused(app: Flask, text: str) -> None:
    result = run(app, "jobs", "run", "--once", "--at", text)
    assert isinstance(result.exception, BadInput)
    assert result.exception.reason.code == "bad_instant"


def test_what_failed_is_listed_first_and_can_be_tried_again(app: Flask) -> None:
    world = published()
    put(world, "volunteer", "placed")
    number = queued()[0].id
    change_message(number, state="failed", said="550 no such box")
    listed = told(app, "jobs", "list")["result"]
    assert listed["messages"] == [
        {"number": number, "kind": "invitation", "state": "failed", "tries": 0,
         "said": "550 no such box"}
    ]  # fmt: skip
    told(app, "jobs", "retry", str(number))
    assert queued()[0].state == "waiting"
    again = run(app, "jobs", "retry", str(number))
    assert isinstance(again.exception, BadInput)


@pytest.mark.parametrize("what", [("x",), ("999",), ("reminders", "never")])
def test_there_is_nothing_to_retry_where_nothing_was(app: Flask, what: tuple[str, ...]) -> None:
    assert isinstance(run(app, "jobs", "retry", *what).exception, BadInput)
