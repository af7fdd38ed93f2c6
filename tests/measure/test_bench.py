"""What the bench compares is right before it is timed; the ratios are `make bench`'s to print."""

from __future__ import annotations

from pathlib import Path

import pytest

from roster.measure import signup, start
from roster.measure.pairs import Pair, interleaved


def test_a_start_loads_no_solver_sheet_or_paper_library_and_rules_load_no_framework(
    tmp_path: Path,
) -> None:
    assert start.loaded_too_early(start.environment(str(tmp_path))) == []


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def test_the_driver_alone_ends_where_the_use_case_ends(kind: str) -> None:
    line = signup.compared(kind)
    assert "wrong" not in line.more, str(line)
    assert line.low is not None
    assert 0 < line.low <= line.ratio


@pytest.mark.parametrize(
    ("above", "verdict"),
    [((1.0, 1.2), "PASS"), ((1.0, 1.3), "UNSURE"), ((1.3, 1.4), "FAIL")],
    ids=["every round keeps the limit", "one does not", "none does"],
)
def test_a_verdict_is_yes_only_if_every_round_keeps_the_limit(
    above: tuple[float, float], verdict: str
) -> None:
    line = Pair("start", "sqlite", 1, above, (1.0, 1.0), at_most=1.2).line()
    assert line.verdict == verdict


def test_a_limit_from_below_is_kept_by_what_reaches_it() -> None:
    assert Pair("x", "sqlite", 1, (0.12,), (1.0,), at_least=0.12).verdict() == "PASS"
    assert Pair("x", "sqlite", 1, (0.1199,), (1.0,), at_least=0.12).verdict() == "FAIL"


def test_a_failed_check_fails_the_line_whatever_the_ratio() -> None:
    line = Pair("x", "sqlite", 1, (1.0,), (1.0,), at_most=2).line("sets differ")
    assert line.verdict == "FAIL"
    assert "wrong=sets differ" in str(line)


def test_the_sides_of_a_pair_take_turns_in_going_first() -> None:
    order: list[str] = []

    def side(name: str) -> float:
        order.append(name)
        return 1.0

    interleaved(lambda: side("a"), lambda: side("b"), rounds=2)
    assert order == ["a", "b", "b", "a"]
