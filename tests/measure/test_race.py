"""A short form of the race; `make drill` runs it at length."""

from __future__ import annotations

import pytest

from roster.measure.race import race, race_of_the_naive

DATABASES = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]


@pytest.mark.slow
@pytest.mark.parametrize("kind", DATABASES)
def test_two_hundred_people_in_eight_processes_fill_twelve_spots_exactly(kind: str) -> None:
    line = race(kind, 1)
    assert line.verdict == "PASS", str(line)
    assert line.n == 200


@pytest.mark.slow
@pytest.mark.parametrize("kind", DATABASES)
def test_naive_code_oversells_in_the_same_harness(kind: str) -> None:
    line = race_of_the_naive(kind, 3, people=60)
    assert line.verdict == "PASS", str(line)
