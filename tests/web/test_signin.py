"""Signing in: the mailed link in the asking browser, the code, and nothing else."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from flask import Flask

from roster.services import signin
from roster.services.clock import SetClock
from roster.store.transaction import read
from tests.support.browser import COOKIE, Browser
from tests.support.world import World, build

ADDRESS = "volunteer@example.org"


@pytest.fixture
def world(app: Flask) -> World:
    return build()


def asked(client: Browser, address: str = ADDRESS) -> signin.Letter | None:
    assert client.post("/sign-in", address=address).status_code == 303
    return read(lambda store: signin.letter(store, newest(store)))


def newest(store) -> int:
    from sqlalchemy import func, select

    from roster.store.models.access import sign_in

    return store.unit.run(select(func.max(sign_in.c.id))).scalar_one()


def is_signed_in(client: Browser) -> bool:
    return client.session is not None


def test_the_code_signs_in_the_browser_that_asked(app: Flask, world: World) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    assert letter.address == ADDRESS
    answer = client.post("/sign-in/code", code=letter.code.lower().replace("-", " "))
    assert answer.status_code == 303
    assert is_signed_in(client)
    assert "Volunteer Test" in client.text("/sign-in")


def test_the_link_signs_in_the_browser_that_asked_and_opening_it_spends_nothing(
    app: Flask, world: World
) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    path, _, secret = letter.path.partition("#")
    for _ in range(20):
        assert client.get(path).status_code == 200
    assert not is_signed_in(client)
    assert client.post(path, token=secret).status_code == 303
    assert is_signed_in(client)


def test_another_browser_with_the_link_gets_nothing_and_spends_nothing(
    app: Flask, world: World
) -> None:
    mine, scanner = Browser(app), Browser(app)
    letter = asked(mine)
    assert letter
    path, _, secret = letter.path.partition("#")
    assert scanner.post(path, token=secret).status_code == 422
    assert not is_signed_in(scanner)
    assert mine.post(path, token=secret).status_code == 303


def test_a_code_works_once(app: Flask, world: World) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    pending = client.client.get_cookie("roster_pending")
    assert pending
    assert client.post("/sign-in/code", code=letter.code).status_code == 303
    again = Browser(app)
    again.client.set_cookie("roster_pending", pending.value)
    assert again.post("/sign-in/code", code=letter.code).status_code == 422
    assert not is_signed_in(again)


@pytest.mark.parametrize(("seconds", "status"), [(599, 303), (600, 422)], ids=["9:59", "10:00"])
def test_a_code_is_good_for_ten_minutes(
    app: Flask, world: World, clock: SetClock, seconds: int, status: int
) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    clock.forward(timedelta(seconds=seconds))
    assert client.post("/sign-in/code", code=letter.code).status_code == status


@pytest.mark.parametrize(("wrong", "status"), [(4, 303), (5, 422)])
def test_after_five_wrong_codes_the_right_one_is_refused(
    app: Flask, world: World, wrong: int, status: int
) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    for _ in range(wrong):
        assert client.post("/sign-in/code", code="0000-0000").status_code == 422
    assert client.post("/sign-in/code", code=letter.code).status_code == status


def test_the_answer_does_not_tell_whether_an_address_is_known(app: Flask, world: World) -> None:
    pages = []
    for address in (ADDRESS, "nobody@example.org"):
        client = Browser(app)
        answer = client.post("/sign-in", address=address)
        page = client.get(answer.location).get_data(as_text=True)
        pages.append(re.sub(r'value="[^"]+"', "", page))
    assert pages[0] == pages[1]


def test_a_malformed_address_is_said_at_the_field(app: Flask, world: World) -> None:
    answer = Browser(app).post("/sign-in", address="no address")
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "Write one address, such as name@example.org." in page
    assert 'aria-invalid="true"' in page


def test_a_minor_gets_no_mail_before_the_guardian_has_signed_twice(
    app: Flask, world: World
) -> None:
    assert asked(Browser(app), "minor@example.org") is None


def test_one_address_gets_five_mails_an_hour_from_one_place(app: Flask, world: World) -> None:
    from sqlalchemy import func, select

    from roster.store.models.messages import outbox

    for _ in range(7):
        asked(Browser(app))
    sent = read(lambda s: s.unit.run(select(func.count()).select_from(outbox)).scalar_one())
    assert sent == 5


def test_signing_out_ends_the_session_on_the_server(app: Flask, world: World) -> None:
    client = world.browser(app, "volunteer")
    kept = client.session
    assert kept
    client.post("/sign-out")
    again = Browser(app)
    again.client.set_cookie(COOKIE, kept)
    assert "Volunteer Test" not in again.text("/sign-in")


def test_the_session_is_renewed_at_sign_in(app: Flask, world: World) -> None:
    client = world.browser(app, "volunteer")
    old = client.session
    letter = asked(client)
    assert letter
    client.post("/sign-in/code", code=letter.code)
    new = client.session
    assert old
    assert new
    assert old != new
    stale = Browser(app)
    stale.client.set_cookie(COOKIE, old)
    assert "Volunteer Test" not in stale.text("/sign-in")


@pytest.mark.parametrize(
    ("who", "idle", "held"),
    [
        ("coordinator", timedelta(hours=2) - timedelta(minutes=1), True),
        ("coordinator", timedelta(hours=2), False),
        ("volunteer", timedelta(days=30) - timedelta(minutes=1), True),
        ("volunteer", timedelta(days=30), False),
    ],
)
def test_a_session_ends_when_it_lies_idle(
    app: Flask, world: World, clock: SetClock, who: str, idle: timedelta, held: bool
) -> None:
    client = world.browser(app, who)
    clock.forward(idle)
    page = client.text("/sign-in")
    assert (f"{who.title()} Test" in page) is held


def test_a_coordinators_session_ends_after_twelve_hours_however_busy(
    app: Flask, world: World, clock: SetClock
) -> None:
    client = world.browser(app, "coordinator")
    for _ in range(11):
        clock.forward(timedelta(hours=1))
        assert "Coordinator Test" in client.text("/sign-in")
    clock.forward(timedelta(hours=1))
    assert "Coordinator Test" not in client.text("/sign-in")


def test_who_has_left_is_signed_out_at_once(app: Flask, world: World) -> None:
    from roster.domain.people import system
    from roster.store.models.people import person
    from roster.store.transaction import write

    client = world.browser(app, "volunteer")

    def leave(store) -> None:
        store.unit.run(
            person.update().where(person.c.id == world.people["volunteer"]).values(state="left")
        )
        store.unit.note("leave", "person", 1)

    write(leave, actor=system("test"))
    assert "Volunteer Test" not in client.text("/sign-in")


@pytest.mark.parametrize(
    "wanted",
    ["//evil.example", "/\\evil.example", "https://evil.example", "/%2f%2fevil", "javascript:x",
     "/\tevil", "/sign-in\r\nX: y", "/@evil.example", "evil.example", "/nowhere"],
)  # fmt: skip
def test_after_sign_in_nobody_is_led_off_this_service(
    app: Flask, world: World, wanted: str
) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    answer = client.post("/sign-in/code", code=letter.code, next=wanted)
    assert answer.status_code == 303
    assert answer.location == "/"


def test_the_cookies_are_out_of_reach_of_scripts_and_other_sites(app: Flask, world: World) -> None:
    client = Browser(app)
    letter = asked(client)
    assert letter
    answer = client.post("/sign-in/code", code=letter.code)
    cookies = answer.headers.getlist("Set-Cookie")
    kept = next(c for c in cookies if c.startswith(COOKIE))
    assert "HttpOnly" in kept
    assert "SameSite=Lax" in kept
    assert "Path=/" in kept
