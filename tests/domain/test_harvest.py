"""The most to take, against trade_rules.csv and harvest_limits.csv of tests/checks."""

import csv
from dataclasses import replace

import pytest

from roster.domain.errors import BadInput
from roster.domain.harvest import (
    COMMON,
    RARE,
    Count,
    HarvestRules,
    Most,
    NothingToTake,
    bag_mothers_apart,
    most_to_take,
    person_hours,
    plants_to_sample,
    rules_for,
    viable_seed_needed,
)
from tests.support.checks import TABLES, rows

H1 = Count(500, 10, 20, looked_at=20, good=16)
H2 = Count(60, 5, 30, looked_at=20, good=18)


def limit(rule):
    with (TABLES / "harvest_limits.csv").open(newline="", encoding="utf-8") as lines:
        return {row["rule"]: row["value"] for row in csv.DictReader(lines)}[rule]


def expected(rule):
    (row,) = [r.values[0] for r in rows("trade_rules", id=rule)]
    return row["expected"].replace(",", "")


def codes(answer):
    assert isinstance(answer, NothingToTake)
    return [reason.code for reason in answer.reasons]


def cautions(answer):
    assert isinstance(answer, Most)
    return [reason.code for reason in answer.cautions]


def test_the_limits_are_those_of_the_published_table():
    assert COMMON.share * 100 == int(limit("max_share_of_viable_seed_common"))
    assert RARE.share * 100 == int(limit("max_share_rare"))
    assert RARE.years_in_ten == int(limit("max_harvest_years_rare"))
    assert COMMON.more_plants_than == int(limit("min_plants_with_ripe_seed"))
    assert COMMON.wanted_seeds == int(limit("target_viable_seeds"))
    assert plants_to_sample(True) == int(limit("min_plants_outbreeder"))
    assert plants_to_sample(False) == int(limit("min_plants_selfer"))


def test_one_thousand_of_five_thousand_capsules():
    """H1 of the trade rules: 500 plants x 10 fruits x 20 seeds x 80 % good."""
    answer = most_to_take(H1, COMMON)
    assert f"available viable {answer.standing_viable}" in expected("H1")
    assert f"day limit {answer.viable_seeds}" in expected("H1")
    assert (answer.fruits, answer.of_fruits, answer.one_in, answer.seeds) == (1000, 5000, 5, 20_000)
    assert answer.grams is None
    assert (answer.rule_set, answer.version) == ("common species", "1")
    assert "section 9" in answer.source
    assert cautions(answer) == []


def test_a_small_stand_is_allowed_but_flagged():
    """H2 of the trade rules: under the 10,000 seeds that a collection wants."""
    answer = most_to_take(H2, COMMON)
    assert f"available {answer.standing_viable}" in expected("H2")
    assert f"limit {answer.viable_seeds}" in expected("H2")
    assert cautions(answer) == ["below_wanted_seeds", "bag_mothers_apart"]


def test_fifty_plants_fail_and_fifty_one_pass():
    """BLM native-seed technical protocol, section 9: strictly more than 50."""
    assert codes(most_to_take(replace(H1, plants_at_dispersal=50), COMMON)) == [
        "too_few_plants_ripe"
    ]
    assert isinstance(most_to_take(replace(H1, plants_at_dispersal=51), COMMON), Most)


def test_without_a_seed_fill_check_nothing_is_taken():
    assert codes(most_to_take(replace(H1, looked_at=0, good=0), COMMON)) == ["no_seed_fill_check"]
    assert codes(most_to_take(replace(H1, good=0), COMMON)) == ["no_good_seed"]
    assert cautions(most_to_take(replace(H1, looked_at=19, good=15), COMMON)) == [
        "few_seeds_looked_at"
    ]
    assert "half_the_seed_is_bad" in cautions(most_to_take(replace(H1, good=10), COMMON))
    assert "half_the_seed_is_bad" not in cautions(most_to_take(replace(H1, good=11), COMMON))


def test_a_rare_plant_gives_a_tenth_and_in_five_years_of_ten():
    """H8 allows four of the last nine; H7 of the protocol refuses five."""
    assert expected("H8").startswith("allow")
    answer = most_to_take(replace(H1, harvested_years=4), RARE)
    assert (answer.fruits, answer.one_in) == (500, 10)
    assert codes(most_to_take(replace(H1, harvested_years=5), RARE)) == ["rare_harvested_too_often"]
    assert isinstance(most_to_take(replace(H1, harvested_years=9), COMMON), Most)


def test_a_rare_crop_of_40000_seeds_gives_4000():
    """CPC best practices: at most 10 % of a rare population's crop of the year."""
    assert most_to_take(Count(200, 10, 20, looked_at=20, good=20), RARE).viable_seeds == 4000


def test_a_listed_plant_without_a_permit_is_refused():
    """H13, 50 CFR 17.61(c)(1) and 17.71."""
    assert expected("H13") == "refuse"
    assert codes(most_to_take(replace(H1, listed=True), COMMON)) == ["listed_needs_permit"]
    permitted = replace(H1, listed=True, listed_permit="TE-000")
    assert isinstance(most_to_take(permitted, COMMON), Most)


def test_every_reason_is_given_at_once():
    count = Count(50, 10, 20, listed=True, harvested_years=5)
    assert codes(most_to_take(count, RARE)) == [
        "listed_needs_permit",
        "too_few_plants_ripe",
        "no_seed_fill_check",
        "rare_harvested_too_often",
    ]


def test_what_all_crews_took_today_counts():
    assert most_to_take(replace(H1, taken_today=999), COMMON).fruits == 1
    assert codes(most_to_take(replace(H1, taken_today=1000), COMMON)) == ["days_share_taken"]


def test_at_a_fifth_of_the_seasons_crop_a_coordinator_decides():
    season = replace(H1, crop=6000, taken_this_season=1199)
    assert most_to_take(season, COMMON).fruits == 1
    season = replace(season, taken_this_season=1200)
    assert codes(most_to_take(season, COMMON)) == ["seasons_share_taken"]
    assert most_to_take(replace(season, season_released=True), COMMON).fruits == 1000


def test_the_years_tenth_of_a_rare_plant_cannot_be_released():
    season = replace(H1, crop=6000, taken_this_season=600, season_released=True)
    assert codes(most_to_take(season, RARE)) == ["rare_seasons_share_taken"]


def test_a_weighed_bag_gives_grams_too():
    assert most_to_take(replace(H1, seeds_per_gram=250), COMMON).grams == pytest.approx(80)


def test_a_permission_narrows_the_share_and_never_widens_it():
    assert most_to_take(H1, rules_for(False, 0.05)).fruits == 250
    assert rules_for(False, 0.5) == COMMON
    assert rules_for(True, 0.2) == RARE
    assert "permission" in rules_for(True, 0.05).source


def test_typed_decimals_are_exact():
    """0.2 x 5 x 3 fruits is 3, not 2: no binary fraction eats a capsule."""
    tenth = HarvestRules("test", "1", "none", share=0.1, more_plants_than=0)
    assert most_to_take(Count(100, 0.7, 10, looked_at=20, good=20), tenth).fruits == 7


def test_so_much_must_stand_for_the_wanted_seeds():
    """Computed from BLM protocol sections 7 and 9: 10,000 at 20 % needs 50,000 standing."""
    assert viable_seed_needed(10_000, COMMON) == 50_000
    assert viable_seed_needed(20_000, COMMON) == 100_000


def test_mother_plants_are_bagged_apart_in_small_and_rare_stands():
    """H11 and H12: CPC, sampling from 50 maternal plants."""
    assert "recommended" in expected("H11")
    assert bag_mothers_apart(35, True, 50_000)
    assert not bag_mothers_apart(50, True, 50_000)
    assert not bag_mothers_apart(35, False, 50_000)
    assert "recommended" in expected("H12")
    assert bag_mothers_apart(500, False, 2_400)
    assert not bag_mothers_apart(500, False, 3_000)


def test_thirty_plants_catch_an_allele_in_outbreeders():
    """H9 of the trade rules: 2n >= ln 0.05 / ln 0.95 = 58.4."""
    assert expected("H9").startswith(f"{plants_to_sample(True)} plants")


def test_hours_are_the_longer_of_plants_and_seeds():
    assert person_hours(120, 0) == 4
    assert person_hours(120, 100_000, seeds_per_hour=20_000) == 5
    assert person_hours(120, 10_000, seeds_per_hour=20_000) == 4


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("plants_at_dispersal", -1),
        ("good", 21),
        ("seeds_per_gram", 0),
        ("crop", -1),
        ("fruits_per_plant", float("nan")),
    ],
)
def test_counts_that_cannot_be_are_refused_with_their_field(field, value):
    with pytest.raises(BadInput) as caught:
        replace(H1, **{field: value})
    assert caught.value.field == field


def test_shares_and_rates_that_cannot_be_are_refused():
    with pytest.raises(BadInput):
        rules_for(False, 1.5)
    with pytest.raises(BadInput):
        person_hours(10, 10, plants_per_hour=0)
