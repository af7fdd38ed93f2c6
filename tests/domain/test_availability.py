"""When somebody is free: weekdays, days away with their last day, and how it is written down."""

from datetime import date, timedelta

import pytest

from roster.domain.availability import (
    Availability,
    Away,
    away_of,
    bits_of,
    from_words,
    joined,
    to_words,
)
from roster.domain.errors import BadInput

SUNDAY = date(2027, 6, 20)
DAY = timedelta(days=1)


def test_somebody_who_said_nothing_is_free_every_day():
    assert all(Availability().is_free(SUNDAY + i * DAY) for i in range(7))


def test_only_the_weekdays_said_are_free():
    weekend = Availability(weekdays=bits_of([5, 6]))
    assert weekend.free_on == {5, 6}
    assert weekend.is_free(SUNDAY)
    assert not weekend.is_free(SUNDAY + DAY)


def test_the_last_day_away_is_not_free_and_the_next_is():
    gone = Availability(away=(Away(SUNDAY, SUNDAY + DAY),))
    assert gone.is_free(SUNDAY - DAY)
    assert not gone.is_free(SUNDAY)
    assert not gone.is_free(SUNDAY + DAY)
    assert gone.is_free(SUNDAY + 2 * DAY)


def test_times_away_that_touch_become_one_and_a_day_between_keeps_them_apart():
    first = Away(SUNDAY, SUNDAY + DAY)
    assert joined([Away(SUNDAY + 2 * DAY, SUNDAY + 2 * DAY), first]) == (
        Away(SUNDAY, SUNDAY + 2 * DAY),
    )
    apart = Away(SUNDAY + 3 * DAY, SUNDAY + 4 * DAY)
    assert joined([apart, first]) == (first, apart)


def test_days_away_in_the_wrong_order_are_refused():
    with pytest.raises(BadInput) as caught:
        Away(SUNDAY, SUNDAY - DAY)
    assert (caught.value.field, caught.value.reason.code) == ("last_day", "away_days_reversed")
    assert Away(SUNDAY, SUNDAY).last_day == SUNDAY


@pytest.mark.parametrize("text", ["", "2027-06-20", "tomorrow/2027-06-21"])
def test_what_is_no_time_away_is_refused(text):
    with pytest.raises(BadInput):
        away_of(text)


@pytest.mark.parametrize(
    "said",
    [
        Availability(),
        Availability(96, 0, 0, (Away(SUNDAY, SUNDAY), Away(SUNDAY + 9 * DAY, SUNDAY + 9 * DAY))),
        Availability(1, 90, 31, (), frozenset({3, 12})),
    ],
)
def test_what_the_journal_keeps_reads_back_the_same(said):
    assert from_words(to_words(said)) == said


@pytest.mark.parametrize("wrong", [{"per_month": 32}, {"minutes_drive": 1441}, {"weekdays": 128}])
def test_a_number_out_of_range_is_refused(wrong):
    with pytest.raises(BadInput):
        Availability(**wrong)
