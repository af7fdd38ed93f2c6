"""The crew check.

Minimum crew 3 with coverage and 4 without, 60 minutes of walk-out, vehicles: common practice or
our own defaults, no source. At most 9 beside the lead: groups of ten or fewer (a ranger's account,
Homestead). First aid on every crew: 29 CFR 1910.151(b). Papers: W2 of tests/checks/trade_rules.csv
(an agreement of 13 months ago has expired, NPS RM-7 ch. 5).
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.crew import CrewRules, EventFacts, crew_check, shortfall
from roster.domain.crew_member import CrewMember
from roster.domain.events import EventKind
from roster.domain.people import Role
from roster.domain.reasons import Finding, Level, Reason

DAY = date(2027, 6, 20)
ENDS = datetime(2027, 6, 20, 19, 30, tzinfo=UTC)
UNTIL = date(2028, 4, 30)
FACTS = EventFacts(
    418,
    EventKind.COLLECTING,
    DAY,
    ENDS,
    "America/Los_Angeles",
    coverage=True,
    led_before=2,
    vehicles=2,
    sunset=ENDS + timedelta(hours=8),
)


def member(number, name, role=Role.CREW_MEMBER, *also, **said):
    cleared = dict.fromkeys((role, *also), UNTIL)
    return CrewMember(number, name, role, cleared, **{"age": 40, "screened": True} | said)


ANA = member(1, "Ana Ferrer", Role.LEAD, Role.FIRST_AIDER, household="Ferrer")
MINA = member(2, "Mina Sato", Role.DATA_COLLECTOR, household="Sato")
BEA = member(3, "Bea Lindqvist", household="Lindqvist")
ROSA = member(4, "Rosa Iniguez", household="Iniguez")
CREW = [ANA, MINA, BEA]


def found(members=CREW, **changed):
    return crew_check(replace(FACTS, **changed), members)


def stops(members=CREW, **changed):
    return [f.reason.code for f in found(members, **changed) if f.level is Level.STOP]


def at(level, members=CREW, **changed):
    return {f.reason.code for f in found(members, **changed) if f.level is level}


def test_lead_data_collector_and_one_more_may_go_where_there_is_coverage():
    assert stops() == []
    assert at(Level.CAUTION) == set()
    assert "crew_large_enough" in at(Level.CLEAR)


def test_without_coverage_a_fourth_is_needed():
    assert stops(coverage=False) == ["crew_too_small_no_signal"]
    assert stops([*CREW, ROSA], coverage=False) == []


def test_the_crew_is_counted_in_cleared_adults():
    unclear = replace(BEA, cleared={})
    assert stops([ANA, MINA, unclear]) == ["crew_too_small", "member_not_cleared"]
    assert shortfall(FACTS, [ANA, MINA, unclear]) == 1
    assert shortfall(FACTS, CREW) == 0


def test_an_event_may_ask_for_more_than_the_rule_but_never_for_less():
    assert stops(minimum_crew=4) == ["crew_too_small"]
    assert stops(minimum_crew=1) == []
    assert stops([ANA, MINA], minimum_crew=1) == ["crew_too_small"]


def test_a_site_check_needs_two_and_no_data_collector():
    pair = [ANA, BEA]
    assert stops(pair, kind=EventKind.SITE_CHECK) == []
    assert stops([ANA], kind=EventKind.SITE_CHECK) == ["crew_too_small"]


def test_nobody_goes_without_a_cleared_lead():
    assert stops([MINA, BEA, ROSA])[:1] == ["lead_missing"]
    lapsed = replace(ANA, cleared={Role.CREW_MEMBER: UNTIL, Role.FIRST_AIDER: UNTIL})
    assert stops([lapsed, MINA, BEA, ROSA]) == ["lead_not_cleared"]


def test_a_collecting_event_needs_a_cleared_data_collector():
    assert stops([ANA, BEA, ROSA]) == ["collector_missing"]
    lapsed = replace(MINA, cleared={Role.CREW_MEMBER: UNTIL})
    assert stops([ANA, lapsed, BEA, ROSA]) == ["collector_not_cleared"]


def test_the_data_collector_is_another_person_than_the_lead():
    both = replace(ANA, role=Role.DATA_COLLECTOR, cleared={Role.DATA_COLLECTOR: UNTIL})
    assert stops([ANA, both, BEA, ROSA]) == ["collector_is_lead"]


@pytest.mark.parametrize(
    ("beside", "led", "code"),
    [
        (9, 2, None),
        (10, 2, "crew_too_large"),
        (5, 1, None),
        (6, 1, "crew_too_large_new_lead"),
        (6, 0, "crew_too_large_new_lead"),
    ],
)
def test_nine_go_beside_a_lead_and_five_on_the_first_two_events(beside, led, code):
    more = [replace(BEA, person=n, name=f"Person {n}") for n in range(10, 9 + beside)]
    assert stops([ANA, MINA, *more], led_before=led) == ([code] if code else [])


def test_somebody_with_a_first_aid_card_valid_that_day_is_on_every_crew():
    without = replace(ANA, cleared={Role.LEAD: UNTIL})
    assert stops([without, MINA, BEA]) == ["first_aid_missing"]
    aider = replace(BEA, cleared={Role.CREW_MEMBER: UNTIL, Role.FIRST_AIDER: DAY})
    assert stops([without, MINA, aider]) == []


def test_papers_that_the_land_asks_for_are_checked_for_each_person():
    lacking = replace(BEA, lacks=("Agreement of the county parks",))
    [stop] = [f for f in found([ANA, MINA, lacking]) if f.level is Level.STOP]
    assert stop.reason.code == "member_lacks_papers"
    assert stop.reason.facts == {"name": "Bea Lindqvist", "papers": "Agreement of the county parks"}


def test_nobody_is_on_two_events_at_once():
    assert stops([ANA, MINA, replace(BEA, elsewhere=(419,))]) == ["member_elsewhere"]


@pytest.mark.parametrize(
    ("minutes", "code"),
    [(60, "daylight_enough"), (59, "daylight_too_short")],
    ids=["just a walk-out before sunset", "a minute too late"],
)
def test_the_work_ends_a_walk_out_before_sunset(minutes, code):
    sunset = ENDS + timedelta(minutes=minutes)
    assert code in {f.reason.code for f in found(sunset=sunset)}


def test_without_a_sunset_the_lead_decides():
    assert at(Level.CAUTION, sunset=None) == {"daylight_unknown"}


@pytest.mark.parametrize(
    ("vehicles", "coverage", "code"),
    [(0, True, "vehicles_unknown"), (1, True, None), (1, False, "one_vehicle_no_signal"),
     (2, False, None)],
)  # fmt: skip
def test_vehicles_are_a_caution(vehicles, coverage, code):
    crew = [*CREW, ROSA]
    assert at(Level.CAUTION, crew, vehicles=vehicles, coverage=coverage) == ({code} - {None})


def test_five_ride_in_a_vehicle():
    six = [*CREW, ROSA, replace(BEA, person=7), replace(BEA, person=8)]
    assert at(Level.CAUTION, six, vehicles=1) == {"vehicles_too_few"}
    assert at(Level.CAUTION, six[:5], vehicles=1) == set()


def test_findings_of_the_land_are_handed_through_and_stops_come_first():
    closed = Finding(Level.STOP, Reason("closed"))
    told = Finding(Level.CAUTION, Reason("notice_to_give"))
    levels = [f.level for f in found(land=(told, closed))]
    assert levels == sorted(levels, key=list(Level).index)
    assert stops(land=(told, closed)) == ["closed"]


def test_a_training_session_is_checked_for_minors_only():
    assert found([BEA], kind=EventKind.TRAINING) == ()
    teen = member(9, "Teo Marsh", age=16, is_minor=True, guardian_yes=True)
    assert stops([BEA, teen], kind=EventKind.TRAINING) == ["two_adults_missing"]


def test_the_numbers_are_settings():
    strict = CrewRules(minimum_with_coverage=5)
    assert stops(rules=strict) == ["crew_too_small"]
