"""A short form of the kill drill; `make drill` runs it at length."""

from __future__ import annotations

import pytest

from roster.measure.kill import kill, kill_of_the_careless
from roster.measure.kill_history import Model

DATABASES = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]


@pytest.mark.slow
@pytest.mark.parametrize("kind", DATABASES)
def test_fifty_kills_lose_nothing_acknowledged_and_do_nothing_twice(kind: str) -> None:
    line = kill(kind, 50)
    assert line.verdict == "PASS", str(line)
    assert line.n >= 50
    assert int(str(line.more["answered"])) > 50
    for point in ("in_transaction", "before_commit", "after_commit", "by_the_parent"):
        assert int(str(line.more.get(point, 0))) > 0, str(line)


@pytest.mark.slow
def test_workers_that_say_yes_before_they_act_fail_the_same_drill() -> None:
    line = kill_of_the_careless("sqlite")
    assert line.verdict == "PASS", str(line)


def test_the_model_fills_spots_then_the_line_and_moves_the_first_in_line_up() -> None:
    model = Model(2)
    assert [model.sign_up(p) for p in (1, 2, 3, 4)] == ["placed", "placed", "waiting", "waiting"]
    model.withdraw(1)
    assert (model.placed, model.line) == ([2, 3], [4])
    model.withdraw(4)
    assert (model.placed, model.line) == ([2, 3], [])
