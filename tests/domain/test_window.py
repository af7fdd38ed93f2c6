"""The board of a window and the fixing of its day."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.errors import BadInput
from roster.domain.events import Stage
from roster.domain.people import Role
from roster.domain.spots import InLine, Openings, SpotState, Wish
from roster.domain.window import (
    Someone,
    Span,
    best_day,
    board_day,
    chosen_days,
    days_between,
    fixing,
)

FIRST, LAST = date(2027, 7, 1), date(2027, 7, 9)
TODAY = date(2027, 6, 25)
ALL = (Span(date(2027, 1, 1), None),)
START = datetime(2027, 7, 5, 14, tzinfo=UTC)


def crew(n, *days):
    return [Someone(i, f"Person {i}", cleared=ALL, ticked=frozenset(days)) for i in range(1, n + 1)]


LEAD = Someone(90, "Ana Ferrer", lead=ALL)


def test_ticked_days_must_lie_in_the_window():
    days = days_between(FIRST, LAST)
    assert len(days) == 9
    assert chosen_days([LAST, FIRST, LAST], days) == (FIRST, LAST)
    with pytest.raises(BadInput):
        chosen_days([LAST + timedelta(days=1)], days)


def test_a_lead_who_did_not_tick_counts_as_one_more_adult():
    day = board_day((FIRST, TODAY), [0.7], crew(3, FIRST), [LEAD], 4)
    assert (day.adults, day.missing, day.can_go) == (3, 0, True)
    same = replace(LEAD, person=1)
    assert board_day((FIRST, TODAY), [0.7], crew(3, FIRST), [same], 4).missing == 1


def test_a_day_taken_by_another_event_or_away_is_not_free():
    assert LEAD.leads_on(FIRST)
    assert not replace(LEAD, busy=frozenset({FIRST})).leads_on(FIRST)
    gone = replace(LEAD, away=(Span(FIRST, LAST),))
    assert (gone.leads_on(FIRST), gone.leads_on(LAST)) == (False, True)


def test_a_minor_is_no_adult_until_the_day_of_majority():
    [one] = crew(1, FIRST)
    assert not replace(one, minor_until=FIRST + timedelta(days=1)).counts_on(FIRST)
    assert replace(one, minor_until=FIRST).counts_on(FIRST)


def test_the_best_day_is_the_likeliest_on_which_a_crew_can_go():
    people = crew(3, FIRST, LAST)
    days = [
        board_day((FIRST, TODAY), [0.5, 0.6], people, [LEAD], 4),
        board_day((LAST, TODAY), [0.9, 0.4], people, [LEAD], 4),
        board_day((date(2027, 7, 3), TODAY), [0.95], people, [LEAD], 4),
    ]
    assert days[1].chance == 0.4
    assert best_day(days) is days[0]
    assert best_day([board_day((FIRST, LAST), [0.5], people, [LEAD], 4)]) is None


def openings(capacity):
    return Openings(1, Stage.OPEN, True, START, START + timedelta(hours=5), capacity, 0)


def line(*names):
    return [
        InLine(n, Wish(n, name, Role.CREW_MEMBER, name != "Barred", state=SpotState.ASKED))
        for n, name in enumerate(names, 1)
    ]


def test_fixing_places_in_order_and_puts_the_rest_in_line():
    found = fixing(openings(2), line("A", "Barred", "C", "D"), START - timedelta(hours=72))
    assert (found.placed, found.waiting, found.offered) == ((1, 3), (4,), ())
    assert [person for person, _ in found.left] == [2]


def test_fixing_within_three_days_offers_and_within_one_leaves_it_to_the_phone():
    late = fixing(openings(2), line("A"), START - timedelta(hours=71, minutes=59))
    assert (late.placed, late.offered) == ((), (1,))
    phone = fixing(openings(2), line("A"), START - timedelta(hours=23, minutes=59))
    assert (phone.placed, phone.offered, phone.waiting) == ((), (), (1,))
