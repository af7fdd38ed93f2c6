"""Log lines, health pages, and addresses of static files."""

from __future__ import annotations

import io
import json
import logging
import re
from collections.abc import Iterator
from datetime import timedelta

import pytest
from flask import Flask, render_template_string
from sqlalchemy import text

from roster import logs
from roster.services import jobs
from roster.services.clock import SetClock
from roster.store import guards
from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.browser import Browser
from tests.support.world import World, build


@pytest.fixture
def lines() -> Iterator[io.StringIO]:
    """What the service writes to standard output."""
    stream = io.StringIO()
    before = logging.getLogger().level
    logs.to_stream("INFO", stream)
    yield stream
    root = logging.getLogger()
    for handler in [h for h in root.handlers if isinstance(h.formatter, logs.JsonLines)]:
        root.removeHandler(handler)
    root.setLevel(before)


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def told(stream: io.StringIO) -> list[dict[str, object]]:
    return [json.loads(line) for line in stream.getvalue().splitlines()]


def test_each_request_is_one_line_with_its_number_person_route_and_costs(
    app: Flask, world: World, lines: io.StringIO
) -> None:
    answer = world.browser(app, "lead").get("/days")
    mine = [one for one in told(lines) if one["name"] == "roster.request"][-1]
    assert mine["request_id"] == answer.headers["X-Request-ID"]
    assert (mine["route"], mine["status"]) == ("days.first", 200)
    assert mine["actor"] == world.people["lead"]
    assert isinstance(mine["ms"], float)
    assert 0 < int(str(mine["queries"])) < 60


def test_neither_address_nor_secret_reaches_the_log(app: Flask, lines: io.StringIO) -> None:
    browser = Browser(app)
    browser.get("/feeds/12-abcdefghijklmnopqrst.ics?who=ida@example.org")
    browser.get("/l/7-abcdefghijklmnopqrst")
    browser.post("/sign-in", address="ida@example.org")
    logging.getLogger("roster").error("refused for %s at /enter/lead-1-abcdefgh", "ida@example.org")
    written = lines.getvalue()
    assert "/enter/<secret>" in written
    assert "<address>" in written
    for private in ("ida@example.org", "abcdefgh"):
        assert private not in written


def test_a_trace_is_cleaned_too(lines: io.StringIO) -> None:
    try:
        raise ValueError("no such address: ida@example.org")
    except ValueError:
        logging.getLogger("roster").exception("it broke", extra={"to": "ida@example.org"})
    (one,) = told(lines)
    assert "ValueError: no such address: <address>" in str(one["trace"])
    assert one["to"] == "<address>"


def test_an_error_page_shows_the_number_that_the_log_has(app: Flask, lines: io.StringIO) -> None:
    answer = Browser(app).get("/nowhere")
    number = answer.headers["X-Request-ID"]
    assert number in answer.get_data(as_text=True)
    assert number in {one.get("request_id") for one in told(lines)}


def test_alive_needs_no_database_and_ready_tells_each_check(app: Flask, clock: SetClock) -> None:
    jobs.beat("a worker")
    browser = Browser(app)
    assert browser.get("/healthz").get_json() == {"alive": True}
    good = browser.get("/readyz")
    assert (good.status_code, good.get_json()["ready"]) == (200, True)
    assert set(good.get_json()["checks"]) == {"database", "guards", "jobs"}
    with db.engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            guards.drop(connection)
    bad = browser.get("/readyz")
    assert (bad.status_code, bad.get_json()["checks"]["guards"]) == (503, "stop")
    with db.engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            connection.execute(text("UPDATE alembic_version SET version_num = '0000'"))
    assert browser.get("/readyz").get_json()["checks"]["database"] == "stop"
    assert browser.get("/healthz").status_code == 200


@pytest.mark.parametrize(("seconds", "level"), [(180, "clear"), (181, "caution")])
def test_a_job_process_silent_for_three_minutes_is_told(
    app: Flask, clock: SetClock, seconds: int, level: str
) -> None:
    jobs.beat("a worker")
    clock.forward(timedelta(seconds=seconds))
    assert Browser(app).get("/readyz").get_json()["checks"]["jobs"] == level


def test_a_static_address_carries_its_hash_and_may_be_kept_a_year(app: Flask) -> None:
    with app.test_request_context():
        address = render_template_string("{{ url_for_static('style.css') }}")
    assert re.fullmatch(r"/static/style\.css\?v=[0-9a-f]{16}", address)
    browser = Browser(app)
    kept = browser.get(address).headers["Cache-Control"]
    assert kept == "public, max-age=31536000, immutable"
    for other in ("/static/style.css", "/static/style.css?v=0123456789abcdef"):
        assert browser.get(other).headers["Cache-Control"] == "no-cache"


def test_every_static_file_that_a_page_names_is_asked_for_by_its_hash(app: Flask) -> None:
    page = Browser(app).text("/sign-in")
    named = re.findall(r'(?:src|href)="(/static/[^"]+)"', page)
    assert named
    assert [one for one in named if "?v=" not in one] == []
    with app.test_request_context(), pytest.raises(FileNotFoundError):
        render_template_string("{{ url_for_static('nowhere.css') }}")
