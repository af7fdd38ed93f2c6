"""Months and weeks as rows of days (ISO 8601: weeks begin on Monday)."""

from dataclasses import dataclass
from datetime import date, timedelta

import pytest

from roster.domain.calendar_grid import Span, by_day, days_between, grid


@dataclass(frozen=True)
class Outing:
    day: date
    last_day: date


@pytest.mark.parametrize(
    ("on", "first", "last", "weeks"),
    [
        (date(2027, 2, 28), date(2027, 2, 1), date(2027, 2, 28), 4),  # four whole weeks
        (date(2028, 2, 29), date(2028, 2, 1), date(2028, 2, 29), 5),  # leap year
        (date(2027, 5, 1), date(2027, 5, 1), date(2027, 5, 31), 6),  # begins on a Saturday
        (date(2027, 12, 31), date(2027, 12, 1), date(2027, 12, 31), 5),
    ],
)
def test_a_month_has_its_own_days_in_whole_weeks(on, first, last, weeks):
    month = grid(Span.MONTH, on)
    assert (month.first, month.last, len(month.rows)) == (first, last, weeks)
    assert all(row[0].weekday() == 0 and len(row) == 7 for row in month.rows)
    start, end = month.shown
    assert start <= first
    assert last <= end
    assert [d for row in month.rows for d in row] == list(days_between(start, end))


def test_going_on_and_back_leads_through_every_month_once():
    month = grid(Span.MONTH, date(2027, 1, 31))
    seen = []
    for _ in range(12):
        seen.append(month.first.month)
        month = grid(Span.MONTH, month.after)
    assert seen == list(range(1, 13))
    assert grid(Span.MONTH, month.before).first == date(2027, 12, 1)


def test_a_week_begins_on_monday_and_sunday_is_its_last_day():
    week = grid(Span.WEEK, date(2027, 6, 20))  # a Sunday
    assert (week.first, week.last) == (date(2027, 6, 14), date(2027, 6, 20))
    assert week.after == date(2027, 6, 21)
    assert grid(Span.WEEK, week.before).last == week.first - timedelta(days=1)


@pytest.mark.parametrize("on", [date.min, date.max])
@pytest.mark.parametrize("span", list(Span))
def test_the_ends_of_the_calendar_can_be_asked_for(on, span):
    assert grid(span, on).rows


def test_an_event_of_several_days_stands_on_each_day_shown():
    week = grid(Span.WEEK, date(2027, 6, 16))
    long = Outing(date(2027, 6, 19), date(2027, 6, 22))
    short = Outing(date(2027, 6, 20), date(2027, 6, 20))
    found = by_day(week, [long, short])
    assert found == {date(2027, 6, 19): (long,), date(2027, 6, 20): (long, short)}


def test_reversed_days_hold_none():
    assert list(days_between(date(2027, 6, 2), date(2027, 6, 1))) == []
