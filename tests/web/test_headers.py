"""What every answer carries, who may reach a development, and forms that were not ours."""

from __future__ import annotations

from pathlib import Path

import pytest
from flask import Flask

from roster import config as settings
from roster.app import create_app
from roster.web.headers import FORWARDED
from tests.support.browser import COOKIE, Browser
from tests.support.databases import KEY
from tests.support.world import World, build

EVERYWHERE = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
}


@pytest.fixture
def world(app: Flask) -> World:
    return build()


@pytest.fixture
def production(tmp_path: Path, app: Flask) -> Flask:
    """The same database, served as in production."""
    environ = {
        "ROSTER_MODE": "production",
        "ROSTER_DATABASE_URL": app.config["SQLALCHEMY_DATABASE_URI"],
        "ROSTER_SECRET_KEY": KEY,
        "ROSTER_BASE_URL": "https://roster.example.org",
        "ROSTER_SMTP_URL": "smtp://mail.example.org",
    }
    return create_app(settings.read(environ, tmp_path))


def open_as(app: Flask, path: str, method: str = "GET", **options):
    base = options.pop("base_url", None)
    return Browser(app).open(path, method=method, base_url=base, **options)


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/sign-in", 200),
        ("GET", "/nowhere", 404),
        ("PUT", "/sign-in", 405),
        ("POST", "/sign-in", 400),
        ("GET", "/", 302),
        ("GET", "/enter/lead-1-nonsense", 404),
    ],
)
def test_every_answer_carries_the_headers(
    app: Flask, world: World, method: str, path: str, status: int
) -> None:
    answer = open_as(app, path, method)
    assert answer.status_code == status
    for name, value in EVERYWHERE.items():
        assert answer.headers[name] == value
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_every_page_of_a_signed_in_person_is_kept_nowhere(app: Flask, world: World) -> None:
    for who in ("coordinator", "volunteer", "lead"):
        browser = world.browser(app, who)
        for rule in app.url_map.iter_rules():
            if "GET" in (rule.methods or set()) and not rule.arguments:
                answer = browser.get(rule.rule)
                assert answer.headers["Cache-Control"] == "no-store", rule.rule
                assert answer.status_code < 500, rule.rule


def test_a_broken_page_tells_a_number_and_no_more(app: Flask, world: World) -> None:
    def broken() -> str:
        raise ValueError("the secret of the inside")

    app.view_functions["signin.ask"] = broken
    broken.roster_rule = app.view_functions["signin.code"].roster_rule  # type: ignore[attr-defined]
    answer = open_as(app, "/sign-in")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 500
    assert "What you had saved before is safe" in page
    assert "secret of the inside" not in page
    assert 'class="code">' in page


def test_a_development_answers_only_this_machine(app: Flask, world: World) -> None:
    here = open_as(app, "/sign-in", environ_base={"REMOTE_ADDR": "127.0.0.1"})
    there = open_as(app, "/sign-in", environ_base={"REMOTE_ADDR": "192.0.2.7"})
    assert (here.status_code, there.status_code) == (200, 403)


@pytest.mark.parametrize("name", FORWARDED)
def test_a_development_refuses_what_a_proxy_hands_on(app: Flask, world: World, name: str) -> None:
    assert open_as(app, "/sign-in", headers={name: "127.0.0.1"}).status_code == 403


def test_a_development_refuses_a_foreign_host_name(app: Flask, world: World) -> None:
    assert open_as(app, "/sign-in", base_url="http://evil.example").status_code == 400


def test_production_has_no_way_in_without_mail(production: Flask, world: World) -> None:
    base = "https://roster.example.org"
    for path in ("/enter/coordinator-1-abcdefghijkl", "/outbox"):
        assert open_as(production, path, base_url=base).status_code == 404


def test_production_asks_for_https_for_a_year_and_marks_its_cookies(
    production: Flask, world: World
) -> None:
    answer = open_as(production, "/sign-in", base_url="https://roster.example.org")
    assert answer.status_code == 200
    assert answer.headers["Strict-Transport-Security"].startswith("max-age=31536000")
    for cookie in answer.headers.getlist("Set-Cookie"):
        assert "Secure" in cookie
        assert "HttpOnly" in cookie


def test_production_refuses_a_foreign_host_name(production: Flask, world: World) -> None:
    answer = open_as(production, "/sign-in", base_url="https://evil.example")
    assert answer.status_code == 400


def test_every_form_without_our_token_is_refused(app: Flask, world: World) -> None:
    browser = world.browser(app, "coordinator")
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or set()):
            continue
        values = dict.fromkeys(rule.arguments, 1)
        with app.test_request_context():
            path = app.url_for(rule.endpoint, **values)
        answer = browser.open(path, method="POST", data={"op": "x"})
        assert answer.status_code in (400, 404), rule.rule


def test_a_form_from_another_site_is_refused_even_with_a_token(app: Flask, world: World) -> None:
    browser = Browser(app)
    data = {"csrf_token": browser.token(), "address": "volunteer@example.org"}
    answer = browser.open(
        "/sign-in", method="POST", data=data, headers={"Sec-Fetch-Site": "cross-site"}
    )
    assert answer.status_code == 403


def test_static_files_may_be_kept_a_year_at_their_hashed_address_only(
    app: Flask, world: World
) -> None:
    page = Browser(app).text("/sign-in")
    start = page.index("/static/style.css?v=")
    hashed = page[start : page.index('"', start)]
    assert "immutable" in Browser(app).get(hashed).headers["Cache-Control"]
    assert Browser(app).get("/static/style.css").headers["Cache-Control"] == "no-cache"
    assert Browser(app).get("/static/style.css?v=0").headers["Cache-Control"] == "no-cache"


def test_thirty_askings_an_hour_are_answered_and_the_next_is_not(app: Flask, world: World) -> None:
    browser = Browser(app)
    answers = [browser.post("/sign-in", address=f"p{n}@example.org") for n in range(31)]
    assert [a.status_code for a in answers] == [303] * 30 + [429]
    assert answers[-1].headers["Retry-After"] == "3600"


def test_an_unknown_session_is_nobody(app: Flask, world: World) -> None:
    browser = Browser(app)
    browser.client.set_cookie(COOKIE, "x" * 43)
    assert browser.get("/").location == "/sign-in"
