"""The limit over several visits and crews, and what may be written down as taken."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from roster.domain.collecting import (
    Bagging,
    PlantLimits,
    StandCount,
    Taken,
    TakenUnit,
    Visit,
    check_taken,
    fruits_of,
    limit_on,
    season_crop,
)
from roster.domain.errors import BadInput
from roster.domain.events import NothingTaken
from roster.domain.harvest import Most, NothingToTake

DAY = date(2027, 6, 20)
WEEK_LATER = DAY + timedelta(days=7)
STAND = StandCount(500, 10, 20, 20, 16)  # 5,000 fruits, 80,000 viable seeds
PLAIN = PlantLimits()


def codes(limit):
    assert isinstance(limit, NothingToTake)
    return [reason.code for reason in limit.reasons]


def refusal(act, *given):
    with pytest.raises(BadInput) as caught:
        act(*given)
    return caught.value.field, caught.value.reason.code


def test_the_first_crew_may_take_a_fifth_of_what_stands():
    most = limit_on(DAY, STAND, PLAIN, [])
    assert isinstance(most, Most)
    assert (most.fruits, most.of_fruits, most.one_in) == (1000, 5000, 5)


def test_another_crew_of_the_same_day_counts():
    most = limit_on(DAY, STAND, PLAIN, [Visit(DAY, 5000, 400)])
    assert isinstance(most, Most)
    assert most.fruits == 600


def test_a_later_visit_to_the_same_fruits_finds_the_seasons_share_taken():
    earlier = [Visit(DAY, 5000, 1000)]
    assert codes(limit_on(WEEK_LATER, replace(STAND, plants_at_dispersal=400), PLAIN, earlier)) == [
        "seasons_share_taken"
    ]
    released = PlantLimits(season_released=True)
    assert isinstance(limit_on(WEEK_LATER, STAND, released, earlier), Most)


def test_fruits_that_ripened_since_give_more_to_take():
    most = limit_on(
        WEEK_LATER, replace(STAND, plants_at_dispersal=600), PLAIN, [Visit(DAY, 5000, 1000)]
    )
    assert isinstance(most, Most)
    assert most.fruits == 400  # a fifth of 6,000 standing and 1,000 gone, less 1,000


def test_a_rare_plants_season_is_never_released():
    rare = PlantLimits(rare=True, season_released=True)
    later = replace(STAND, plants_at_dispersal=450)
    assert codes(limit_on(WEEK_LATER, later, rare, [Visit(DAY, 5000, 500)])) == [
        "rare_seasons_share_taken"
    ]


def test_the_land_managers_smaller_share_narrows_the_limit():
    most = limit_on(DAY, STAND, PlantLimits(permitted_share=0.1), [])
    assert isinstance(most, Most)
    assert most.fruits == 500


def test_an_estimated_crop_counts_where_it_is_larger():
    assert season_crop(Visit(DAY, 5000, 0, 20_000), []) == 20_000
    assert season_crop(Visit(DAY, 5000, 0, 100), []) == 5000


@pytest.mark.parametrize(
    ("amount", "unit", "fruits"),
    [(100, TakenUnit.FRUITS, 100), (400, TakenUnit.SEEDS, 20), (8, TakenUnit.GRAMS, 50)],
)
def test_every_unit_is_counted_in_fruits(amount, unit, fruits):
    assert fruits_of(Taken(amount, unit), replace(STAND, seeds_per_gram=125)) == fruits


def test_grams_without_seeds_in_a_gram_are_refused():
    assert refusal(fruits_of, Taken(8, TakenUnit.GRAMS), STAND) == (
        "unit",
        "taken_needs_seeds_per_gram",
    )


def test_exactly_the_most_may_be_recorded_and_one_more_only_when_owned_up_to():
    limit = limit_on(DAY, STAND, PLAIN, [])
    check_taken(Taken(1000), 1000, limit)
    assert refusal(check_taken, Taken(1001), 1001, limit) == ("amount", "taken_above_most")
    check_taken(Taken(1001, anyway=True), 1001, limit)


def test_nothing_taken_says_why_and_something_does_not():
    limit = limit_on(DAY, STAND, PLAIN, [])
    check_taken(Taken(nothing=NothingTaken.TOO_GREEN), 0, limit)
    assert refusal(check_taken, Taken(), 0, limit) == ("amount", "taken_nothing_needs_why")
    both = Taken(5, nothing=NothingTaken.SHED)
    assert refusal(check_taken, both, 5, limit) == ("nothing", "taken_and_nothing")


def test_seed_bagged_by_mother_plant_needs_their_number():
    limit = limit_on(DAY, STAND, PLAIN, [])
    apart = Taken(5, bagging=Bagging.BY_MOTHER)
    assert refusal(check_taken, apart, 5, limit) == ("mothers", "mothers_not_counted")
    check_taken(replace(apart, mothers=1), 5, limit)
