"""Sign-in, limits and clean-up on both databases; a code is spent once however many try at once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from flask import Flask
from sqlalchemy import func, select

from roster.domain.errors import BadInput
from roster.domain.people import system
from roster.services import limits, sessions, signin
from roster.services.clock import SetClock
from roster.services.enter import enter_codes
from roster.store.models.access import rate, session, sign_in
from roster.store.registry import Store
from roster.store.transaction import read, write
from tests.support.world import World, build

BROWSER = signin.Browser("the secret of a browser", "test", "127.0.0")


@pytest.fixture
def world(both: Flask) -> World:
    return build()


def newest(store: Store) -> int:
    return int(store.unit.run(select(func.max(sign_in.c.id))).scalar_one())


def code(store: Store) -> str:
    letter = signin.letter(store, newest(store))
    assert letter
    return letter.code


def count(table) -> int:
    return read(lambda s: s.unit.run(select(func.count()).select_from(table)).scalar_one())


def test_a_code_signs_in_and_the_session_is_that_persons(world: World) -> None:
    signin.ask(" Volunteer@Example.ORG ", BROWSER)
    token = signin.by_code(BROWSER, read(code))
    assert sessions.actor_of(token).person == world.people["volunteer"]


def test_only_hashes_of_secrets_are_kept(world: World) -> None:
    signin.ask("volunteer@example.org", BROWSER)
    typed = read(code)
    token = signin.by_code(BROWSER, typed)
    kept = read(
        lambda s: str(s.unit.run(sign_in.select()).all()) + str(s.unit.run(session.select()).all())
    )
    assert token not in kept
    assert BROWSER.secret not in kept
    assert typed.replace("-", "") not in kept.replace("-", "")


def test_fifty_at_once_with_the_same_code_make_one_session(both: Flask, world: World) -> None:
    signin.ask("volunteer@example.org", BROWSER)
    typed = read(code)

    def attempt(_n: int) -> bool:
        with both.app_context():
            try:
                signin.by_code(BROWSER, typed)
            except BadInput:
                return False
            return True

    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(attempt, range(50)))
    assert sum(done) == 1
    assert count(session) == 1


def test_a_limit_counts_in_rows_and_begins_anew_with_the_window(
    both: Flask, world: World, clock: SetClock
) -> None:
    assert [limits.within("test", "a", 2, 60) for _ in range(3)] == [True, True, False]
    assert limits.within("test", "b", 2, 60)
    clock.forward(timedelta(seconds=60))
    assert limits.within("test", "a", 2, 60)
    limits.within("test", "somebody@example.org", 2, 60)
    assert "somebody" not in read(lambda s: str(s.unit.run(rate.select()).all()))


def test_old_windows_are_swept(world: World, clock: SetClock) -> None:
    limits.within("test", "a", 2, 60)
    actor = system("job:sweep")
    assert write(lambda s: s.rates.sweep(clock.machine_now()), actor=actor) == 0
    clock.forward(timedelta(seconds=60))
    assert write(lambda s: s.rates.sweep(clock.machine_now()), actor=actor) == 1


@pytest.mark.parametrize(
    ("address", "block"),
    [
        ("192.0.2.77", "192.0.2"),
        ("2001:db8:1:2:3::4", "2001:0db8:0001:0002"),
        ("not an address", "unknown"),
        (None, "unknown"),
    ],
)
def test_a_block_is_a_household_of_addresses(address: str | None, block: str) -> None:
    assert limits.block_of(address) == block


def test_what_is_over_is_swept(world: World, clock: SetClock) -> None:
    signin.ask("volunteer@example.org", BROWSER)
    signin.by_code(BROWSER, read(code))
    actor = system("job:sweep")
    assert write(sessions.sweep_in, actor=actor) == 0
    clock.forward(timedelta(days=91))
    assert write(sessions.sweep_in, actor=actor) == 2
    assert (count(session), count(sign_in)) == (0, 0)


def test_signing_out_everywhere_ends_every_session_of_one_person(world: World) -> None:
    tokens = []
    for _ in range(2):
        signin.ask("volunteer@example.org", BROWSER)
        tokens.append(signin.by_code(BROWSER, read(code)))
    me = sessions.actor_of(tokens[0])
    assert sessions.sign_out_everywhere(me) == 2
    assert sessions.actor_of(tokens[1]).person is None


def test_the_ways_in_are_found(world: World) -> None:
    assert [c.role for c in enter_codes()] == ["coordinator", "regional", "lead", "volunteer"]
