"""Permission of the land manager."""

from datetime import date, timedelta

import pytest

from roster.domain.errors import BadInput
from roster.domain.land import (
    Outing,
    Permission,
    Plant,
    Population,
    Site,
    papers_demanded,
    permission_findings,
    population_findings,
)
from roster.domain.reasons import Level

BUTTE = Site(7, "Marrow Butte", 46.9, -117.05, "America/Los_Angeles")
BALSAMROOT = Plant(1, "Balsamorhiza sagittata")
CAMAS = Plant(2, "Camassia quamash")
LISTED = Plant(3, "Silene spaldingii", listed=True)
JUNE_20 = date(2027, 6, 20)


def permission(**changed):
    values = {
        "id": 1,
        "site": 7,
        "manager": "County parks",
        "from_on": date(2027, 6, 1),
        "until_on": date(2027, 8, 1),
        "taxa": {1: None},
    }
    return Permission(**(values | changed))


def outing(**changed):
    values = {
        "site": BUTTE,
        "first": JUNE_20,
        "last": JUNE_20,
        "asked_on": date(2027, 6, 10),
        "taxa": (BALSAMROOT,),
    }
    return Outing(**(values | changed))


def codes(found, level=Level.STOP):
    return [f.reason.code for f in found if f.level is level]


def test_a_site_without_any_permission_stops():
    # BLM native-seed technical protocol, section 6: every collection needs permission on file.
    assert codes(permission_findings([], outing())) == ["permission_missing"]


def test_a_permission_of_another_site_does_not_count():
    assert codes(permission_findings([permission(site=8)], outing())) == ["permission_missing"]


@pytest.mark.parametrize(
    ("day", "stops"),
    [
        (date(2027, 5, 31), ["permission_not_in_force"]),
        (date(2027, 6, 1), []),
        (date(2027, 7, 31), []),
        (date(2027, 8, 1), ["permission_not_in_force"]),
    ],
    ids=["day before the first", "first day", "last day", "day after the last"],
)
def test_a_permission_holds_from_its_first_to_its_last_day(day, stops):
    assert codes(permission_findings([permission()], outing(first=day, last=day))) == stops


def test_a_window_that_runs_out_of_the_permission_names_the_day_that_fails():
    found = permission_findings(
        [permission()], outing(first=date(2027, 7, 30), last=date(2027, 8, 2))
    )
    assert found[0].reason.facts["day"] == date(2027, 8, 2)
    assert found[0].reason.facts["last_day"] == date(2027, 7, 31)


def test_a_species_that_is_not_named_is_not_permitted():
    found = permission_findings([permission()], outing(taxa=(BALSAMROOT, CAMAS)))
    assert codes(found) == ["permission_lacks_taxon"]
    assert found[0].reason.facts["taxon"] == "Camassia quamash"


def test_two_permissions_may_cover_two_species():
    both = [permission(), permission(id=2, taxa={2: None})]
    assert codes(permission_findings(both, outing(taxa=(BALSAMROOT, CAMAS)))) == []


def test_a_site_check_takes_no_species_and_needs_access_only():
    assert codes(permission_findings([permission(taxa={})], outing(taxa=()))) == []


def test_a_listed_plant_without_a_permit_on_file_stops():
    # 50 CFR 17.61(c)(1) and 17.71; outside row: "federally listed plant, no permit: refuse".
    found = permission_findings([permission(taxa={3: None})], outing(taxa=(LISTED,)))
    assert codes(found) == ["listed_without_permit"]


def test_a_listed_plant_with_a_permit_on_file_may_be_taken():
    allowed = permission(taxa={3: None}, listed_permit="P-17")
    assert codes(permission_findings([allowed], outing(taxa=(LISTED,)))) == []


@pytest.mark.parametrize(("people", "stops"), [(8, []), (9, ["permission_people"])])
def test_the_ceiling_of_people_is_inclusive(people, stops):
    # common practice, no source
    assert codes(permission_findings([permission(people=8)], outing(people=people))) == stops


@pytest.mark.parametrize(("vehicles", "stops"), [(2, []), (3, ["permission_vehicles"])])
def test_the_ceiling_of_vehicles_is_inclusive(vehicles, stops):
    assert codes(permission_findings([permission(vehicles=2)], outing(vehicles=vehicles))) == stops


def test_vehicles_that_nobody_counted_are_a_caution_under_a_ceiling():
    found = permission_findings([permission(vehicles=2)], outing())
    assert codes(found, Level.CAUTION) == ["vehicles_not_counted"]


@pytest.mark.parametrize(
    ("asked_on", "told_on", "code"),
    [
        (JUNE_20 - timedelta(days=7), None, "notice_to_give"),
        (JUNE_20 - timedelta(days=6), None, "notice_overdue"),
        (JUNE_20, JUNE_20 - timedelta(days=6), "notice_was_late"),
    ],
    ids=["last day to tell", "a day too late", "told a day too late"],
)
def test_notice_to_the_land_manager_is_shown_until_it_was_given_in_time(asked_on, told_on, code):
    found = permission_findings(
        [permission(notice_days=7)], outing(asked_on=asked_on, told_on=told_on)
    )
    assert codes(found, Level.CAUTION) == [code]


def test_notice_given_on_the_last_day_leaves_no_finding():
    told = outing(told_on=JUNE_20 - timedelta(days=7))
    assert codes(permission_findings([permission(notice_days=7)], told), Level.CAUTION) == []


def test_what_is_permitted_is_said_with_its_last_day():
    found = permission_findings([permission()], outing())
    assert [(f.level, f.reason.code) for f in found] == [(Level.CLEAR, "permission_holds")]
    assert found[0].reason.facts["last_day"] == date(2027, 7, 31)


def test_the_papers_are_those_of_the_permission_that_is_used():
    both = [
        permission(papers=frozenset({"agreement"})),
        permission(id=2, taxa={2: None}, papers=frozenset({"release"})),
    ]
    assert papers_demanded(both, outing()) == {"agreement"}
    assert papers_demanded(both, outing(taxa=(BALSAMROOT, CAMAS))) == {"agreement", "release"}
    assert papers_demanded(both, outing(first=date(2026, 6, 1), last=date(2026, 6, 1))) == set()


def test_a_permission_that_ends_before_it_begins_is_refused():
    with pytest.raises(BadInput) as caught:
        permission(until_on=date(2027, 6, 1))
    assert caught.value.field == "until_on"


def test_a_planted_stand_is_not_collected():
    # BLM native-seed technical protocol, section 7a: never planted, seeded or post-fire-sown.
    sown = Population(1, "Balsamroot, roadside", 7, BALSAMROOT, wild=False)
    assert codes(population_findings([sown])) == ["population_not_wild"]


def test_plants_that_people_eat_and_honour_say_whom_to_ask():
    # common practice, no source
    honoured = Population(1, "Camas meadow", 7, CAMAS, culturally_used="the tribe's plant office")
    found = population_findings([honoured])
    assert codes(found, Level.CAUTION) == ["culturally_used"]
    assert found[0].reason.facts["whom"] == "the tribe's plant office"


def test_coverage_that_nobody_knows_counts_as_none():
    assert not BUTTE.has_coverage
    assert Site(1, "x", 0.0, 0.0, "UTC", minutes_to_signal=0).has_coverage
