"""Spots and the waiting list. 72 h, 24 h and the answer times: our own defaults, no source.

W1 of tests/checks/trade_rules.csv (a minor without guardian consent may not serve, FWS 150 FW 2)
is quoted where it is tested.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.errors import RuleBroken
from roster.domain.events import EventKind, Stage
from roster.domain.people import Role
from roster.domain.reasons import Reason
from roster.domain.spots import (
    InLine,
    Openings,
    OtherStay,
    SpotRules,
    SpotState,
    Wish,
    accept,
    answer_by,
    bars,
    clashes,
    kept_roles,
    move_up,
    place,
    sign_up,
    withdraw,
)

START = datetime(2027, 6, 20, 14, tzinfo=UTC)
END = START + timedelta(hours=5)
OPEN = Openings(418, Stage.OPEN, True, START, END, capacity=8, taken=7)
BEA = Wish(5, "Bea Lindqvist", Role.CREW_MEMBER, True)


def why_not(act, *given):
    with pytest.raises(RuleBroken) as caught:
        act(*given)
    return [r.code for r in caught.value.reasons]


def line(*wishes):
    return [InLine(n, w) for n, w in enumerate(wishes, 1)]


def test_the_last_spot_is_placed_and_the_next_person_waits():
    assert sign_up(OPEN, BEA) is SpotState.PLACED
    assert sign_up(replace(OPEN, taken=8), BEA) is SpotState.WAITING


def test_the_land_managers_ceiling_fills_an_event_before_its_capacity_does():
    assert sign_up(replace(OPEN, ceiling=8), BEA) is SpotState.PLACED
    assert sign_up(replace(OPEN, ceiling=7), BEA) is SpotState.WAITING


def test_one_spot_each_is_kept_for_lead_and_data_collector_until_they_are_seated():
    both = kept_roles(EventKind.COLLECTING, [])
    assert both == {Role.LEAD, Role.DATA_COLLECTOR}
    assert kept_roles(EventKind.COLLECTING, [Role.LEAD]) == {Role.DATA_COLLECTOR}
    assert kept_roles(EventKind.SITE_CHECK, []) == {Role.LEAD}
    assert kept_roles(EventKind.MEETING, []) == frozenset()
    kept = replace(OPEN, taken=6, kept=both)
    assert sign_up(kept, BEA) is SpotState.WAITING
    assert sign_up(kept, replace(BEA, role=Role.DATA_COLLECTOR)) is SpotState.PLACED


def test_while_the_day_is_not_fixed_a_sign_up_takes_no_spot():
    assert sign_up(replace(OPEN, is_fixed=False), BEA) is SpotState.ASKED


@pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.UNDER_WAY, Stage.DONE, Stage.CALLED_OFF])
def test_people_sign_up_only_while_an_event_is_open_or_ready(stage):
    assert why_not(sign_up, replace(OPEN, stage=stage), BEA) == ["takes_no_sign_ups"]


def test_a_second_sign_up_is_refused_but_after_withdrawing_it_is_not():
    assert why_not(sign_up, OPEN, replace(BEA, state=SpotState.WAITING)) == ["already_has_a_spot"]
    assert sign_up(OPEN, replace(BEA, state=SpotState.WITHDRAWN)) is SpotState.PLACED


def test_who_asked_before_the_day_was_fixed_says_so_again_once_it_is():
    asked = replace(BEA, state=SpotState.ASKED)
    assert sign_up(OPEN, asked) is SpotState.PLACED
    assert why_not(sign_up, replace(OPEN, is_fixed=False), asked) == ["already_has_a_spot"]


def test_whoever_is_not_cleared_that_day_is_told_every_reason():
    lacking = replace(BEA, cleared=False, reasons=(Reason("step_missing"), Reason("paper_lapsed")))
    assert why_not(sign_up, OPEN, lacking) == ["step_missing", "paper_lapsed"]
    assert why_not(sign_up, OPEN, replace(lacking, reasons=())) == ["not_cleared_for_event"]


def test_a_minor_without_the_guardians_yes_may_not_come():
    """W1: volunteer aged 17, no guardian consent: may not serve (FWS 150 FW 2)."""
    minor = replace(BEA, is_minor=True)
    assert why_not(sign_up, OPEN, minor) == ["guardian_yes_missing"]
    assert sign_up(OPEN, replace(minor, guardian_yes=True)) is SpotState.PLACED


@pytest.mark.parametrize(
    ("gap", "travel", "hits"),
    [(60, 60, False), (59, 60, True), (0, 0, False), (-1, 0, True)],
    ids=["just the way", "a minute short", "back to back", "a minute over"],
)
def test_hours_overlap_when_the_way_between_does_not_fit(gap, travel, hits):
    after = END + timedelta(minutes=gap)
    before = START - timedelta(minutes=gap)
    way = timedelta(minutes=travel)
    later = OtherStay(419, "Camas", after, after + timedelta(hours=3), way)
    sooner = OtherStay(417, "Camas", before - timedelta(hours=3), before, way)
    assert bool(clashes(START, END, [later])) is hits
    assert bool(clashes(START, END, [sooner])) is hits


def test_overlap_bars_a_fixed_day_only():
    other = OtherStay(419, "Camas", START, END)
    busy = replace(BEA, others=(other,))
    assert [r.code for r in bars(OPEN, busy)] == ["overlaps_other_event"]
    assert bars(replace(OPEN, is_fixed=False), busy) == []


def test_the_coordinator_places_nobody_beyond_the_last_spot():
    full = replace(OPEN, taken=8)
    assert place(OPEN, BEA) is SpotState.PLACED
    assert why_not(place, full, BEA) == ["no_spot_left"]
    assert place(full, replace(BEA, state=SpotState.OFFERED)) is SpotState.PLACED
    assert why_not(place, replace(OPEN, stage=Stage.DONE), BEA) == ["takes_no_sign_ups"]


def test_the_coordinator_cannot_place_a_minor_without_the_guardians_yes():
    assert why_not(place, OPEN, replace(BEA, is_minor=True)) == ["guardian_yes_missing"]


def test_a_withdrawal_alarms_when_it_is_the_leads_or_comes_in_the_last_72_hours():
    placed = replace(BEA, state=SpotState.PLACED)
    at_72, inside = START - timedelta(hours=72), START - timedelta(hours=71, minutes=59)
    assert withdraw(OPEN, placed, at_72) is None
    assert withdraw(OPEN, placed, inside).code == "withdrew_late"
    lead = replace(placed, role=Role.LEAD)
    assert withdraw(OPEN, lead, at_72).code == "key_person_withdrew"
    assert withdraw(OPEN, replace(BEA, state=SpotState.WAITING), inside) is None


def test_nobody_withdraws_from_an_event_that_has_begun_or_without_a_spot():
    placed = replace(BEA, state=SpotState.PLACED)
    begun = replace(OPEN, stage=Stage.UNDER_WAY)
    assert why_not(withdraw, begun, placed, START) == ["withdraws_too_late"]
    gone = replace(BEA, state=SpotState.WITHDRAWN)
    assert why_not(withdraw, OPEN, gone, START) == ["has_no_spot"]


@pytest.mark.parametrize(
    ("minutes_before", "placed", "offered", "phone"),
    [
        (72 * 60, (5,), (), ()),
        (72 * 60 - 1, (), (5,), ()),
        (24 * 60, (), (5,), ()),
        (24 * 60 - 1, (), (), (5, 6)),
    ],
    ids=["72 h: by itself", "just under: offer", "24 h: offer", "just under: phone"],
)
def test_who_moves_up_and_how_depends_on_the_hours_left(minutes_before, placed, offered, phone):
    now = START - timedelta(minutes=minutes_before)
    found = move_up(OPEN, line(BEA, replace(BEA, person=6)), now)
    assert (found.placed, found.offered, found.phone) == (placed, offered, phone)
    assert (found.until is not None) is bool(offered)


def test_the_first_still_eligible_moves_up_and_the_others_keep_their_reason():
    lapsed = replace(BEA, cleared=False, reasons=(Reason("step_lapsed"),))
    minor = replace(BEA, person=6, is_minor=True)
    third = replace(BEA, person=7)
    found = move_up(OPEN, line(lapsed, minor, third), START - timedelta(days=9))
    assert found.placed == (7,)
    assert [(p, r.code) for p, r in found.passed] == [
        (5, "step_lapsed"),
        (6, "guardian_yes_missing"),
    ]


def test_as_many_move_up_as_there_are_spots_in_the_order_of_the_list():
    waiting = [InLine(n, replace(BEA, person=n)) for n in (3, 1, 2)]
    found = move_up(replace(OPEN, taken=6), waiting, START - timedelta(days=9))
    assert found.placed == (1, 2)


def test_a_kept_spot_goes_to_a_waiting_data_collector_not_to_an_earlier_crew_member():
    kept = replace(OPEN, kept=frozenset({Role.DATA_COLLECTOR}))
    collector = replace(BEA, person=6, role=Role.DATA_COLLECTOR)
    assert move_up(kept, line(BEA, collector), START - timedelta(days=9)).placed == (6,)


@pytest.mark.parametrize("changed", [{"stage": Stage.UNDER_WAY}, {"is_fixed": False}])
def test_nobody_moves_up_once_it_has_begun_or_before_the_day_is_fixed(changed):
    found = move_up(replace(OPEN, **changed), line(BEA), START - timedelta(days=9))
    assert found == move_up(replace(OPEN, taken=8), [], START - timedelta(days=9))


def test_an_offer_is_open_for_12_hours_never_past_24_before_and_never_under_2():
    rules = SpotRules()
    assert answer_by(START, START - timedelta(hours=60), rules) == START - timedelta(hours=48)
    assert answer_by(START, START - timedelta(hours=30), rules) == START - timedelta(hours=24)
    assert answer_by(START, START - timedelta(hours=25), rules) == START - timedelta(hours=23)


def test_an_offer_is_accepted_up_to_its_last_instant():
    offered = replace(BEA, state=SpotState.OFFERED)
    until = START - timedelta(hours=48)
    accept(OPEN, offered, until, until)
    late = until + timedelta(seconds=1)
    assert why_not(accept, OPEN, offered, until, late) == ["offer_has_lapsed"]
    assert why_not(accept, OPEN, BEA, until, until) == ["no_offer_open"]
    unclear = replace(offered, cleared=False)
    assert why_not(accept, OPEN, unclear, until, until) == ["not_cleared_for_event"]
