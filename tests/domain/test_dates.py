"""Calendar arithmetic against tests/checks/dates.csv (each row names its source there)."""

import re
from datetime import date, datetime, timedelta

import pytest

from roster.domain.dates import (
    add_duration,
    add_months,
    age_on,
    last_valid_day,
    parse_duration,
    reaches_age_on,
)
from roster.domain.errors import BadInput
from tests.support.checks import rows

ANNIVERSARY = "last valid day = anniversary (inclusive)"
DAY_BEFORE = "last valid day = day before the anniversary"
MONTH_END = "last valid day = end of the anniversary month"


@pytest.mark.parametrize("row", rows("dates", kind="add_months"))
def test_a_month_that_is_too_short_ends_on_its_last_day(row):
    months = int(re.search(r"[-+]\d+", row["operation"])[0])
    reached = add_months(date.fromisoformat(row["input"]), months)
    assert reached.isoformat() == row["expected"]
    if row["alternative_result"]:  # the column of those who roll over to the first of the next
        assert (reached + timedelta(days=1)).isoformat() == row["alternative_result"]


@pytest.mark.parametrize("row", rows("dates", kind="add_sequence"))
def test_the_order_of_two_additions_matters(row):
    first, second = row["operation"].split(" then ")
    day = add_duration(date.fromisoformat(row["input"]), first)
    assert add_duration(day, second).isoformat() == row["expected"]


@pytest.mark.parametrize("row", rows("dates", kind="iso_duration"))
def test_years_and_months_are_added_before_days_and_time(row):
    if " versus " in row["input"]:
        start = date.fromisoformat(row["input"][-10:])
        for duration, reached in re.findall(r"(P\w+) -> (\S+?)(?:;|$)", row["expected"]):
            assert add_duration(start, duration).isoformat() == reached
        return
    start = datetime if "T" in row["input"] else date
    day = start.fromisoformat(row["input"])
    assert add_duration(day, row["operation"].removeprefix("+ ")).isoformat() == row["expected"]


@pytest.mark.parametrize("row", rows("dates", kind="recurrence"))
def test_a_recurrence_skips_the_days_that_month_arithmetic_clamps(row):
    """RFC 5545 section 3.3.10: so an expiry is never written as a recurrence."""
    start = date.fromisoformat(row["input"])
    step = 12 if "YEARLY" in row["operation"] else 1
    count = int(re.search(r"COUNT=(\d+)", row["operation"])[1])
    ours = [add_months(start, step * n) for n in range(step * count * 8)]
    unclamped = [day.isoformat() for day in ours if day.day == start.day][:count]
    assert ";".join(unclamped) == row["expected"]
    assert [day.isoformat() for day in ours[:count]] != unclamped


@pytest.mark.parametrize("row", rows("dates", kind="valid_on"))
def test_the_last_valid_day_is_the_day_before_the_anniversary(row):
    """Ours is the day before; the two other conventions of the table differ as asserted here."""
    first = date.fromisoformat(row["input"])
    months, asked = re.fullmatch(r"valid (\d+) months; asked on (\S+)", row["operation"]).groups()
    printed = date.fromisoformat(re.search(r"last valid day (\d{4}-\d\d-\d\d)", row["expected"])[1])
    ours = last_valid_day(first, f"P{months}M")
    anniversary = ours + timedelta(days=1)
    month_end = add_months(anniversary.replace(day=1), 1) - timedelta(days=1)
    convention = row["convention"].split(" (")[0]
    theirs = {
        ANNIVERSARY.split(" (")[0]: anniversary,
        DAY_BEFORE: ours,
        MONTH_END: month_end,
    }[convention]
    assert theirs == printed
    day = date.fromisoformat(asked)
    state = "not_yet" if day < first else "valid" if day <= theirs else "expired"
    assert row["expected"].startswith(state)


def test_twelve_months_from_15_june_hold_through_14_june_and_not_on_15_june():
    """Our own convention, the day before the anniversary; inclusive."""
    assert last_valid_day(date(2024, 6, 15), "P12M") == date(2025, 6, 14)
    assert last_valid_day(date(2024, 2, 29), "P12M") == date(2025, 2, 27)
    assert last_valid_day(date(2024, 3, 1), "P1Y") == date(2025, 2, 28)
    assert last_valid_day(date(2027, 1, 1), "P1D") == date(2027, 1, 1)


@pytest.mark.parametrize("row", rows("dates", kind="age_on"))
def test_who_is_born_on_29_february_ages_on_1_march(row):
    born, asked = date.fromisoformat(row["input"]), date.fromisoformat(row["operation"][-10:])
    assert age_on(born, asked) == int(row["expected"])
    assert (reaches_age_on(born, int(row["expected"]) + 1) > asked) is True
    assert (reaches_age_on(born, int(row["expected"])) <= asked) is True
    if row["alternative_result"]:  # those who let 29 February age on 28 February are a day early
        assert age_on(born, asked + timedelta(days=1)) == int(row["alternative_result"])


@pytest.mark.parametrize(
    "text",
    ["", "P", "12M", "P12", "PT", "P1.5Y", "-P1M", "P1M ", "P1YT", "P٣M", "p1m", "P9999999999D"],
)
def test_a_text_that_is_no_duration_is_refused_with_field_and_value(text):
    with pytest.raises(BadInput) as caught:
        parse_duration(text)
    assert (caught.value.field, caught.value.value) == ("validity", text)


def test_hours_cannot_be_added_to_a_day_nor_make_a_validity():
    with pytest.raises(BadInput):
        add_duration(date(2027, 1, 1), "PT36H")
    with pytest.raises(BadInput):
        last_valid_day(date(2027, 1, 1), "P0D")
    assert add_duration(date(2027, 1, 1), "PT48H") == date(2027, 1, 3)


def test_days_outside_the_calendar_are_refused():
    with pytest.raises(BadInput):
        add_months(date(9999, 12, 1), 1)
    with pytest.raises(BadInput):
        add_duration(date(9999, 12, 1), "P31D")
    with pytest.raises(BadInput):
        age_on(date(2027, 1, 2), date(2027, 1, 1))
