"""Who comes of those asked, against tests/checks/poisson_binomial.csv (exact fractions)."""

from fractions import Fraction
from itertools import product
from math import prod

import pytest

from roster.domain.errors import BadInput
from roster.domain.turnout import chance_at_least, people_to_call, sure_to_come
from tests.support.checks import rows


def chances(row):
    return [float(Fraction(p)) for p in row["probabilities"].split(";")]


@pytest.mark.parametrize("row", rows("poisson_binomial"))
def test_the_chance_that_enough_come_is_exact(row):
    found = chance_at_least(int(row["m"]), chances(row))
    assert found == pytest.approx(float(Fraction(row["p_at_least_m_exact"])), abs=1e-12)
    assert sure_to_come(chances(row), 0.9) == int(row["largest_k_with_p_ge_0_9"])


@pytest.mark.parametrize("m", range(7))
def test_every_way_of_coming_and_staying_away_is_counted(m):
    p = [0.9, 0.15, 0.6, 1.0, 0.0, 0.35]
    ways = product((0, 1), repeat=len(p))
    expected = sum(
        prod(q if come else 1 - q for q, come in zip(p, way, strict=True))
        for way in ways
        if sum(way) >= m
    )
    assert chance_at_least(m, p) == pytest.approx(expected, abs=1e-12)


def test_ask_eleven_to_get_eight():
    asked = people_to_call(8, [0.9] * 20, 0.95)
    assert asked == 11
    assert chance_at_least(8, [0.9] * 10) < 0.95 <= chance_at_least(8, [0.9] * 11)


def test_the_call_list_is_gone_down_from_its_top():
    assert people_to_call(1, [0.1, 1.0], 0.9) == 2
    assert people_to_call(1, [1.0, 0.1], 0.9) == 1


def test_a_list_that_is_too_short_says_so():
    assert people_to_call(3, [0.9, 0.9], 0.5) is None
    assert people_to_call(2, [0.5, 0.5], 0.9) is None
    assert people_to_call(0, [], 0.99) == 0
    assert chance_at_least(1, []) == 0.0
    assert chance_at_least(0, []) == 1.0


def test_a_thousand_people_stay_within_the_unit():
    assert chance_at_least(1, [0.5] * 1000) == 1.0
    assert 0 < chance_at_least(1000, [0.99] * 1000) < 1e-4


def test_a_chance_outside_nought_and_one_is_refused():
    for act in (lambda: chance_at_least(1, [1.1]), lambda: people_to_call(1, [0.5], 1.5)):
        with pytest.raises(BadInput):
            act()
