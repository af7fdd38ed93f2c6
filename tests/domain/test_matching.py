"""Leads for an event. Travel time and order are our own defaults, no source."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roster.domain.geo import great_circle_km, unit_vector
from roster.domain.matching import (
    Candidate,
    LadderFacts,
    Rung,
    km_of_cosine,
    nearest_town_minutes,
    place_of,
    rank,
    travel_minutes,
    why_nobody,
)

FACTS = LadderFacts(418, date(2027, 6, 20), "lead", holders=23)


def named(name, km=20.0, **known):
    person = sum(map(ord, name))
    known = {"knows_taxon": True, "load": 1, "per_month": 4} | known
    return Candidate(person, name, km, travel_minutes(km), **known)


def names(ranking):
    return [m.candidate.name for m in ranking.matches]


def codes(reasons):
    return [r.code for r in reasons]


@pytest.mark.parametrize(
    ("km", "unpaved", "minutes"),
    [(0, False, 0), (50, False, 60), (100, False, 120), (50, True, 105), (10, True, 21)],
)
def test_travel_is_distance_by_a_road_factor_at_road_speed(km, unpaved, minutes):
    # 50 km x 1.4 = 70 km: an hour at 70 km/h, 1.75 hours at 40 km/h
    assert travel_minutes(km, unpaved=unpaved) == minutes


def test_travel_is_rounded_up_and_the_sites_own_minutes_win():
    assert travel_minutes(50.1) == 61
    assert travel_minutes(50.1, drive_minutes=95) == 95


def test_a_person_for_whom_nothing_is_held_against_comes_before_a_nearer_one():
    near = named("Wren", km=9, close_events=2)
    far = named("Ana", km=22, led_here=2, first_aider=True)
    ranking = rank([near, far])
    assert names(ranking) == ["Ana", "Wren"]
    assert codes(ranking.matches[0].for_) == ["led_here_before", "knows_taxon", "is_first_aider"]
    assert codes(ranking.matches[1].against) == ["many_in_a_row"]
    assert codes(ranking.matches[1].for_) == ["knows_taxon", "is_nearest"]


def test_of_equals_the_nearer_comes_first_then_the_less_loaded():
    ranking = rank([named("Far", 60), named("Busy", 20, load=3), named("Rested", 20, load=1)])
    assert names(ranking) == ["Rested", "Busy", "Far"]


def test_a_full_month_comes_last_and_says_so():
    ranking = rank([named("Lou", 35, load=4), named("Ingrid", 77, knows_taxon=False)])
    assert names(ranking) == ["Ingrid", "Lou"]
    full = ranking.matches[1].against[0]
    assert (full.code, dict(full.facts)) == ("over_month", {"nth": 5, "most": 4})


@pytest.mark.parametrize(("load", "full"), [(3, False), (4, True)])
def test_a_month_is_full_at_what_was_agreed(load, full):
    assert named("Lou", load=load).month_full is full


@pytest.mark.parametrize(
    ("known", "rung"),
    [
        ({"cleared": False}, Rung.NOT_CLEARED),
        ({"said_no": True}, Rung.SAID_NO),
        ({"free": False}, Rung.NOT_FREE),
        ({"busy_with": 419}, Rung.NOT_FREE),
        ({"reach_minutes": 23}, Rung.OUT_OF_REACH),
        ({"reach_minutes": 24}, None),
        ({"cleared": False, "free": False}, Rung.NOT_CLEARED),
    ],
)
def test_a_person_falls_off_at_the_first_rung_that_fails(known, rung):
    person = named("Gus", km=20, **known)  # 24 minutes
    assert person.rung is rung
    assert bool(rank([person]).matches) is (rung is None)


def test_near_the_end_of_their_reach_speaks_against():
    assert codes(rank([named("Ingrid", 50, reach_minutes=66)]).matches[0].against) == [
        "near_reach_end"
    ]
    assert codes(rank([named("Ingrid", 50, reach_minutes=67)]).matches[0].against) == []


def test_somebody_to_ask_means_no_ladder():
    assert why_nobody(rank([named("Ana")]), FACTS) == ()


def test_nobody_ever_cleared_is_the_lowest_rung():
    assert codes(why_nobody(rank([]), replace(FACTS, holders=0))) == ["nobody_ever_cleared"]


def test_nobody_cleared_that_day_names_who_lacks_least():
    facts = replace(FACTS, nearest_name="Hollis", nearest_step="first-aid card")
    reason = why_nobody(rank([named("Hollis", cleared=False)]), facts)[0]
    assert reason.code == "nobody_cleared_nearest"
    assert (reason.facts["name"], reason.facts["step"]) == ("Hollis", "first-aid card")
    assert codes(why_nobody(rank([]), FACTS)) == ["nobody_cleared_that_day"]


def test_each_rung_tells_how_many_fell_and_the_nearest_way_out():
    ranking = rank(
        [
            named("No", said_no=True),
            named("Away", km=30, free=False),
            named("Busy", km=10, busy_with=419),
            named("Far", km=90, reach_minutes=60),
        ]
    )
    ladder = why_nobody(ranking, FACTS)
    assert codes(ladder) == ["all_said_no", "cleared_not_free", "cleared_out_of_reach"]
    assert [r.facts["n"] for r in ladder] == [1, 2, 1]
    assert (ladder[1].facts["name"], ladder[1].facts["other"]) == ("Busy", 419)
    assert (ladder[2].facts["minutes"], ladder[2].facts["most"]) == (110, 60)


@given(st.permutations([named(n, km=k) for n, k in zip("ABCDE", (9, 9, 30, 30, 4), strict=True)]))
def test_the_ranking_does_not_depend_on_the_order_in_which_people_come(people):
    assert names(rank(people)) == ["E", "A", "B", "C", "D"]


def test_a_person_without_a_home_place_comes_last_of_their_kind_and_says_so():
    ranking = rank([Candidate(9, "Nowhere", None, None, knows_taxon=True), named("Near")])
    assert names(ranking) == ["Near", "Nowhere"]
    assert codes(ranking.matches[1].against) == ["home_unknown"]
    assert ranking.matches[1].candidate.km_band is None
    assert ranking.matches[1].candidate.about_minutes is None


@pytest.mark.parametrize(
    ("km", "band", "minutes"), [(9.9, (0, 10), 20), (10.0, (10, 20), 20), (50.0, (50, 60), 60)]
)
def test_what_is_shown_of_a_distance_does_not_locate_a_home(km, band, minutes):
    assert named("Ana", km=km).km_band == band
    assert named("Ana", km=km).about_minutes == minutes


def test_the_cosine_of_two_places_gives_their_great_circle_distance():
    pullman, odessa = (46.73, -117.18), (47.33, -118.69)
    cosine = sum(a * b for a, b in zip(unit_vector(*pullman), unit_vector(*odessa), strict=True))
    assert km_of_cosine(cosine) == pytest.approx(great_circle_km(*pullman, *odessa), abs=1e-6)
    assert place_of(*unit_vector(*odessa)) == pytest.approx(odessa)
    assert km_of_cosine(1.0000000001) == 0


SAID = "Pullman 46.73,-117.18 35; Colfax 46.88,-117.36 20; road open from May"


@pytest.mark.parametrize(
    ("home", "minutes"),
    [((46.74, -117.17), 35), ((46.87, -117.35), 20), ((46.0, -118.3), None)],
    ids=["in Pullman", "in Colfax", "in neither"],
)
def test_the_minutes_that_a_site_says_for_a_town_hold_for_who_lives_there(home, minutes):
    assert nearest_town_minutes(SAID, home) == minutes


def test_nothing_said_means_no_minutes():
    assert nearest_town_minutes("", (46.7, -117.2)) is None
