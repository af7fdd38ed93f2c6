"""Collection numbers and coordinates, after the BLM protocol section 11a and its field form."""

import pytest

from roster.domain.collecting_numbers import (
    collection_number,
    decimal_to_dms,
    dms_to_decimal,
    next_number,
    parse_collection_number,
)
from roster.domain.errors import BadInput
from tests.support.checks import rows


def expected(rule):
    (row,) = [r.values[0] for r in rows("trade_rules", id=rule)]
    return row["expected"]


def test_the_26th_collection_of_a_team_has_its_code_and_26():
    assert collection_number("OR020", 26) == expected("N2")
    assert parse_collection_number("or020 - 26") == ("OR020", 26)


def test_a_new_year_goes_on_with_the_next_number():
    """BLM native-seed technical protocol, section 11a: 34 was the last of last year."""
    assert next_number(34) == 35
    assert next_number(None) == 1


def test_degrees_minutes_and_seconds_become_decimal_degrees():
    """BLM seed field data form, its printed example."""
    assert dms_to_decimal(40, 34, 19.5, "N") == float(expected("N4"))
    assert dms_to_decimal(107, 36, 51.54, "W") == float(expected("N5"))


@pytest.mark.parametrize("decimal", [0.0, 40.572083, -44.999999, 89.99999, -0.000003])
def test_coordinates_come_back_within_half_a_hundredth_of_a_second(decimal):
    degrees, minutes, seconds, side = decimal_to_dms(decimal, "lat")
    assert seconds < 60
    assert dms_to_decimal(degrees, minutes, seconds, side) == pytest.approx(decimal, abs=2e-6)


def test_sixty_seconds_are_carried_over():
    assert decimal_to_dms(40.9999999, "lat") == (41, 0, 0.0, "N")
    assert decimal_to_dms(-107.5, "lon") == (107, 30, 0.0, "W")


@pytest.mark.parametrize(
    ("rule", "typed"),
    [
        (
            collection_number,
            (
                "or20",
                1,
            ),
        ),
        (
            collection_number,
            (
                "OR020",
                0,
            ),
        ),
        (parse_collection_number, ("OR020",)),
        (parse_collection_number, ("OR020-0",)),
        (
            dms_to_decimal,
            (
                90,
                0,
                0.1,
                "N",
            ),
        ),
        (
            dms_to_decimal,
            (
                40,
                60,
                0,
                "N",
            ),
        ),
        (
            dms_to_decimal,
            (
                40,
                0,
                60,
                "N",
            ),
        ),
        (
            dms_to_decimal,
            (
                40,
                0,
                0,
                "X",
            ),
        ),
        (
            decimal_to_dms,
            (
                91,
                "lat",
            ),
        ),
        (
            decimal_to_dms,
            (
                1,
                "up",
            ),
        ),
    ],
)
def test_what_no_form_could_hold_is_refused(rule, typed):
    with pytest.raises(BadInput):
        rule(*typed)
