"""Degree-days against tests/checks/gdd.csv and the degree-day rows of trade_rules.csv."""

import pytest

from roster.domain.degree_days import degree_days
from roster.domain.errors import BadInput
from tests.support.checks import rows

METHOD = {
    "average": "average",
    "modified_cutoff": "modified",
    "single_sine": "sine",
    "single_triangle": "triangle",
}


@pytest.mark.parametrize("row", rows("gdd"))
def test_a_day_adds_the_degree_days_of_the_table(row):
    upper = float(row["upper_deg"]) if row["upper_deg"] else None
    found = degree_days(
        float(row["tmax_deg"]),
        float(row["tmin_deg"]),
        float(row["base_deg"]),
        upper,
        METHOD[row["method"]],
    )
    tolerance = float(row["tolerance_degree_days"])
    assert found == pytest.approx(float(row["gdd_degree_days"]), abs=tolerance)
    if row["published"]:
        assert found == pytest.approx(float(row["published"]), abs=tolerance)


@pytest.mark.parametrize(
    ("rule", "readings", "expected"),
    [
        ("D1", (65, 40, 50, None, "average"), 2.5),
        ("D2", (60, 35, 50, None, "average"), 0),
        ("D4", (14, 7, 12, 33, "sine"), 0.47),
        ("D5", (14, 7, 12, 33, "triangle"), 0.29),
        ("D7", (100, 90, 50, 86, "modified"), 36),
    ],
)
def test_the_rules_of_the_trade_table_hold(rule, readings, expected):
    (row,) = [r.values[0] for r in rows("trade_rules", id=rule)]
    assert row["expected"].startswith(str(expected))
    assert degree_days(*readings) == pytest.approx(expected, abs=0.005)


def test_one_day_has_three_answers_so_the_method_is_kept_with_every_total():
    """notes of Iowa State and MSU Extension: max 60, min 35, base 50."""
    assert degree_days(60, 35, 50) == 0
    assert degree_days(60, 35, 50, 86, "modified") == 5
    assert degree_days(60, 35, 50, method="sine") == pytest.approx(2.81, abs=0.005)


@pytest.mark.parametrize("method", ["sine", "triangle"])
def test_a_curve_is_cut_off_level_at_the_upper_limit(method):
    between = degree_days(100, 40, 50, 86, method)
    assert between < degree_days(100, 40, 50, None, method)
    assert degree_days(120, 90, 50, 86, method) == 36
    assert degree_days(86, 50, 50, 86, method) == 18


@pytest.mark.parametrize("method", ["average", "modified", "sine", "triangle"])
def test_a_day_below_the_base_adds_nothing(method):
    assert degree_days(50, 30, 50, 86, method) == 0
    assert degree_days(-5, -20, 50, 86, method) == 0


@pytest.mark.parametrize(
    ("readings", "field"),
    [
        ((40, 65, 50), "tmax"),
        ((65, 40, 50, 50), "upper"),
        ((65, 40, 50, 86, "guess"), "method"),
        ((float("nan"), 40, 50), "tmax"),
    ],
)
def test_readings_that_cannot_be_are_refused(readings, field):
    with pytest.raises(BadInput) as caught:
        degree_days(*readings)
    assert caught.value.field == field
