"""Requests that no page of ours would send: each gets a considered answer, none breaks us."""

from __future__ import annotations

import random
import re
from urllib.parse import quote

import pytest
from flask import Flask
from werkzeug.routing import Rule

from tests.support.browser import Browser
from tests.support.world import World, build

HOSTILE = (
    "", " ", "0", "-1", "1e309", "9" * 40, "NaN", "2027-02-30", "2027-13-01", "0000-00-00",
    "99999-01-01", "25:61", "on", "null", "{}", "[]", "{{7*7}}", "{day}", "%s%n", "'", '"', "--",
    "' OR 1=1 --", "<script>alert(1)</script>", "../../etc/passwd", "\x00", "a\x00b", "\r\nX: y",
    "\u202e", "\u2028", "\ud7ff", "\U0010ffff", "é" * 300, "x" * 5000, "=1+1", "%_%", "(a+)+$",
    "nobody@example.org", "V1", "P999999999999999999999", "true", "None", "١٢",
)  # fmt: skip
NAMES = re.compile(r'<(?:input|select|textarea)[^>]* name="([^"]+)"')
ROUNDS = 400


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def routes(app: Flask) -> list[Rule]:
    return [r for r in app.url_map.iter_rules() if r.endpoint not in ("static", "signin.leave")]


def path_of(app: Flask, rule: Rule, dice: random.Random, world: World) -> str:
    numbers = [1, 2, 0, 999_999, 2**31, 2**63 - 1, 2**63, 10**30]
    path = rule.rule
    for argument in rule.arguments:
        is_number = f"<int:{argument}>" in path
        value = str(dice.choice(numbers)) if is_number else quote(dice.choice(HOSTILE), safe="")
        path = re.sub(rf"<(\w+:)?{argument}>", lambda _m, v=value: v or "x", path)
    return path


def fields(browser: Browser, app: Flask) -> list[str]:
    found = {"op", "csrf_token", "page", "sort", "dir", "q", "on", "role", "region", "next"}
    for rule in routes(app):
        if "GET" in (rule.methods or set()) and not rule.arguments:
            found.update(NAMES.findall(browser.get(rule.rule).get_data(as_text=True)))
    return sorted(found - {"csrf_token"})


@pytest.mark.parametrize("who", ["anonymous", "volunteer", "lead", "coordinator"])
def test_no_malformed_request_breaks_us(app: Flask, world: World, who: str) -> None:
    dice = random.Random(f"malformed {who}")  # noqa: S311 - the same at every run
    app.config["WTF_CSRF_ENABLED"] = False
    browser = world.browser(app, who)
    names = fields(browser, app)
    for _ in range(ROUNDS):
        rule = dice.choice(routes(app))
        method = dice.choice(sorted((rule.methods or set()) - {"OPTIONS"}))
        path = path_of(app, rule, dice, world)
        given = {name: dice.choice(HOSTILE) for name in dice.sample(names, min(4, len(names)))}
        if method == "POST":
            answer = browser.open(path, method=method, data=given)
        else:
            answer = browser.open(path, method=method, query_string=given)
        assert answer.status_code < 500, (who, method, path, given)


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b"\xff\xfe\xfa", "application/x-www-form-urlencoded"),
        (b"{", "application/json"),
        (b"--x\r\nContent-Disposition: form-data\r\n\r\n", "multipart/form-data; boundary=x"),
        (b"a" * 1000, "multipart/form-data"),
        (b"address=%ff%fe", "application/x-www-form-urlencoded"),
        (b"&".join(b"a%d=1" % n for n in range(2000)), "application/x-www-form-urlencoded"),
    ],
    ids=["bytes", "json", "cut multipart", "no boundary", "not utf-8", "2000 fields"],
)
def test_a_body_that_is_no_form_is_refused(
    app: Flask, world: World, body: bytes, kind: str
) -> None:
    answer = Browser(app).open("/sign-in", method="POST", data=body, content_type=kind)
    assert 400 <= answer.status_code < 500


def test_a_body_over_twelve_megabytes_is_refused(app: Flask, world: World) -> None:
    answer = Browser(app).open(
        "/sign-in",
        method="POST",
        data=b"address=" + b"a" * (12 * 1024 * 1024),
        content_type="application/x-www-form-urlencoded",
    )
    assert answer.status_code == 413
