"""Availability on both databases: kept, read by the ranking of leads, taken back."""

from datetime import timedelta

import pytest

from roster.domain.availability import Availability, Away, bits_of
from roster.domain.errors import BadInput, Conflict, NotAllowed
from roster.domain.people import system
from roster.services import availability, lead_ranking
from roster.store.transaction import read
from tests.support.crews import FULL, add_people, as_person, open_event
from tests.support.land import EVENT_DAY, land

pytestmark = pytest.mark.usefixtures("both")


def said_of(person):
    return read(lambda store: store.availability.of(person))


def suggested(event):
    return [m.candidate.person for m in lead_ranking.ranked(system("test"), event).matches]


def test_what_is_said_is_kept_whole_and_times_away_are_joined():
    ground = land()
    [one] = add_people(1)
    away = (Away(EVENT_DAY, EVENT_DAY), Away(EVENT_DAY + timedelta(1), EVENT_DAY + timedelta(2)))
    said = Availability(96, 90, 2, away, frozenset({ground.taxon}))
    availability.say_free(as_person(one), one, said)
    kept = said_of(one)
    assert kept.away == (Away(EVENT_DAY, EVENT_DAY + timedelta(2)),)
    assert (kept.weekdays, kept.minutes_drive, kept.per_month) == (96, 90, 2)
    assert kept.taxa == {ground.taxon}


def test_the_ranking_of_leads_follows_what_is_said():
    ground = land()
    event = open_event(ground)  # a Sunday
    [one] = add_people(1, *FULL)
    assert suggested(event) == [one]
    me = as_person(one)
    availability.say_free(me, one, Availability(weekdays=bits_of([0, 1, 2, 3, 4])))
    assert suggested(event) == []
    availability.say_free(me, one, Availability(away=(Away(EVENT_DAY, EVENT_DAY),)))
    assert suggested(event) == []
    back = Away(EVENT_DAY - timedelta(5), EVENT_DAY - timedelta(1))
    availability.say_free(me, one, Availability(away=(back,), taxa=frozenset({ground.taxon})))
    [match] = lead_ranking.ranked(system("test"), event).matches
    assert match.candidate.knows_taxon


def test_the_last_change_is_taken_back_and_taking_back_again_restores_it():
    land()
    [one] = add_people(1)
    me = as_person(one)
    availability.say_free(me, one, Availability(per_month=2))
    availability.say_free(me, one, Availability(per_month=1))
    availability.take_back(me, one)
    assert said_of(one).per_month == 2
    availability.take_back(me, one)
    assert said_of(one).per_month == 1


def test_nothing_is_taken_back_where_nothing_was_said():
    land()
    [one] = add_people(1)
    with pytest.raises(Conflict):
        availability.take_back(as_person(one), one)


def test_another_volunteer_may_neither_see_nor_say_it():
    land()
    one, other = add_people(2)
    with pytest.raises(NotAllowed):
        availability.free_page(as_person(other), one)
    with pytest.raises(NotAllowed):
        availability.say_free(as_person(other), one, Availability(per_month=0))


def test_a_species_that_is_not_known_to_us_is_refused():
    land()
    [one] = add_people(1)
    with pytest.raises(BadInput):
        availability.say_free(as_person(one), one, Availability(taxa=frozenset({99})))
    assert said_of(one) == Availability()
