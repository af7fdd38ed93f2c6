"""How old a person is, and what was on record when. Ages: checks/dates.csv, 1 March rule."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.people import Role
from roster.domain.person_facts import (
    Withheld,
    WithheldKind,
    age,
    comes_of_age,
    is_minor,
    turns,
)
from roster.domain.training import Known
from tests.support.standing import done, guardian_papers, person, rules, step, track

RULES = rules(track(Role.LEAD, [step()]))


@pytest.mark.parametrize(
    ("born", "years", "day"),
    [(date(2008, 2, 29), 18, date(2026, 3, 1)), (date(2008, 2, 29), 16, date(2024, 2, 29)),
     (date(2010, 12, 31), 16, date(2026, 12, 31)), (date(2008, 3, 1), 18, date(2026, 3, 1))],
)  # fmt: skip
def test_an_age_is_reached_on_the_birthday(born: date, years: int, day: date) -> None:
    facts = person(RULES, born)
    assert turns(facts, years) == day
    assert age(facts, day) == years
    assert age(facts, day - timedelta(days=1)) == years - 1


def test_who_only_told_to_be_of_age_is_reckoned_from_that_day() -> None:
    facts = person(RULES, None, of_age_on=date(2020, 5, 1))
    assert turns(facts, 18) == date(2020, 5, 1)
    assert turns(facts, 21) == date(2023, 5, 1)
    assert age(facts, date(2027, 1, 1)) is None


def test_nobody_comes_of_age_before_18_and_some_states_say_later() -> None:
    facts = person(RULES, date(2009, 6, 20))
    assert comes_of_age(facts, 16) == comes_of_age(facts, 18) == date(2027, 6, 20)
    assert comes_of_age(facts, 19) == date(2028, 6, 20)
    assert is_minor(facts, date(2027, 6, 19))
    assert not is_minor(facts, date(2027, 6, 20))


def test_age_is_not_known_before_birth_or_without_a_date() -> None:
    assert age(person(RULES, date(2009, 6, 20)), date(2009, 6, 19)) is None
    assert age(person(RULES, None), date(2027, 1, 1)) is None
    assert turns(person(RULES, None), 18) is None


NOON = datetime(2027, 6, 1, 12, tzinfo=UTC)


def test_what_was_recorded_later_is_left_out_down_to_confirmations_and_second_signs() -> None:
    late = Known(NOON)
    consent, care = guardian_papers(date(2027, 5, 1))
    second = replace(consent.second_signs[0], recorded_at=NOON)
    withheld = Withheld(role=None, kind=WithheldKind.SUSPENDED, from_on=date(2027, 5, 1),
                        recorded_at=NOON)  # fmt: skip
    facts = person(
        RULES,
        finished=(done(1, date(2027, 5, 1), confirmations=(late,)),),
        signatures=(replace(consent, second_signs=(second,)), care),
        withheld=(withheld,),
    )
    before, after = facts.as_known(NOON - timedelta(seconds=1)), facts.as_known(NOON)
    assert before.finished[0].confirmations == ()
    assert before.signatures[0].second_signs == ()
    assert before.withheld == ()
    assert after.finished[0].is_confirmed
    assert after.withheld == (withheld,)


def test_what_is_known_now_leaves_out_what_was_ended() -> None:
    facts = person(RULES, finished=(done(1, date(2027, 5, 1), ended_at=NOON),))
    assert facts.as_known().finished == ()
    assert facts.as_known().live
    assert facts.as_known().as_known() == facts.as_known()
