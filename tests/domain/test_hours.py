"""In-kind value against tests/checks/inkind_examples.csv (method: 2 CFR 200.306(e))."""

from decimal import Decimal

import pytest

from roster.domain.errors import BadInput
from roster.domain.hours import in_kind_total, in_kind_value
from tests.support.checks import rows


def minutes(hours):
    return int(Decimal(hours) * 60)


@pytest.mark.parametrize("row", rows("inkind_examples"))
def test_hours_are_worth_the_money_of_the_table(row):
    hours, rates = row["hours"].split(";"), row["rate_usd_per_h"].split(";")
    lines = [(minutes(h), r) for h, r in zip(hours, rates, strict=True)]
    each = [in_kind_value(*line) for line in lines]
    assert [str(value) for value in each] == row["line_values_usd"].split(";")
    assert sum(each) == Decimal(row["sum_of_rounded_lines_usd"])
    assert in_kind_total(lines) == Decimal(row["rounded_total_usd"])


def test_lines_rounded_apart_may_differ_by_a_cent_from_the_total():
    """checks of in-kind value, worked example: 3 x 0.25 h at 29.95."""
    lines = [(15, "29.95")] * 3
    assert sum(in_kind_value(*line) for line in lines) == Decimal("22.47")
    assert in_kind_total(lines) == Decimal("22.46")


def test_several_rates_add_up():
    """Worked example: 7.75 h x 42.18 + 2 x 7.0 h x 31.80."""
    lines = [(465, "42.18"), (420, "31.80"), (420, "31.80")]
    assert [in_kind_value(*line) for line in lines[:1]] == [Decimal("326.90")]
    assert in_kind_total(lines) == Decimal("772.10")


def test_a_hundred_hours_of_2021_are_worth_2995_dollars():
    """trade_rules.csv V1, the published national value of that data year."""
    assert in_kind_value(6000, Decimal("29.95")) == Decimal("2995.00")


def test_half_a_cent_is_rounded_up_and_a_float_rate_means_what_was_typed():
    assert in_kind_value(30, "0.01") == Decimal("0.01")
    assert in_kind_value(60, 1.005) == Decimal("1.01")


@pytest.mark.parametrize(
    ("time", "rate", "field"),
    [
        (-1, "30", "minutes"),
        (1.5, "30", "minutes"),
        (60, "-30", "rate"),
        (60, "x", "rate"),
        (60, "nan", "rate"),
    ],
)
def test_minutes_are_whole_and_rates_are_amounts(time, rate, field):
    with pytest.raises(BadInput) as caught:
        in_kind_value(time, rate)
    assert caught.value.field == field
