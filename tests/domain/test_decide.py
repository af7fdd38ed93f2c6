"""What stands on To decide, with one next step each (our own design)."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.decide import (
    Group,
    NextStep,
    RipeSoon,
    Standing,
    decision,
    decisions,
    unserved,
    without_region,
)
from roster.domain.events import DateState, EventKind, Stage
from roster.domain.reasons import Level, Reason

NOW = datetime(2027, 6, 16, 15, 0, tzinfo=UTC)


def standing(days=2.0, **changed):
    start = NOW + timedelta(days=days)
    values = {
        "event": 418,
        "kind": EventKind.COLLECTING,
        "stage": Stage.OPEN,
        "date_state": DateState.FIXED,
        "title": "Arrowleaf balsamroot at Marrow Butte",
        "first_day": start.date(),
        "starts_at": start,
        "ends_at": start + timedelta(hours=5),
        "capacity": 8,
        "placed": 5,
        "lead": "Ana",
    }
    return Standing(**(values | changed))


def row(**changed):
    found = decision(standing(**changed), NOW)
    return found and (found.group, found.level, found.headline.code, found.step)


SOON, LATER, OUT = Group.NEXT_72_HOURS, Group.LATER, Group.OUT_NOW


def test_people_out_come_first_and_are_clear_until_they_are_late():
    out = {"stage": Stage.UNDER_WAY, "out": 4, "days": -0.1}
    back, clock = NOW + timedelta(minutes=1), NOW + timedelta(minutes=21)
    on_time = row(**out, back_at=back, clock_at=clock)
    assert on_time == (OUT, Level.CLEAR, "crew_is_out", NextStep.SHOW_HEAD_COUNT)
    expected = row(**out, back_at=NOW, clock_at=clock)
    assert expected == (OUT, Level.CAUTION, "crew_is_out", NextStep.SHOW_HEAD_COUNT)
    late = row(**out, back_at=NOW - timedelta(minutes=20), clock_at=NOW)
    assert late == (OUT, Level.STOP, "crew_is_late", NextStep.ASK_AFTER_CREW)


def test_a_crew_out_where_it_was_closed_is_a_stop_though_on_time():
    closed = (Reason("closed_until_lifted"),)
    found = row(stage=Stage.UNDER_WAY, out=4, clock_at=NOW + timedelta(hours=2), land_stops=closed)
    assert found == (OUT, Level.STOP, "crew_out_where_closed", NextStep.ASK_AFTER_CREW)


def test_people_still_out_of_a_called_off_event_are_not_forgotten():
    assert row(stage=Stage.CALLED_OFF, out=1)[0] is OUT
    assert row(stage=Stage.CALLED_OFF) is None
    assert row(stage=Stage.DONE) is None


@pytest.mark.parametrize(
    ("days", "group"), [(3.0, SOON), (3.0 + 1 / 1440, LATER)], ids=["72 hours", "a minute more"]
)
def test_the_next_72_hours_end_after_72_hours(days, group):
    assert row(days=days, lead="")[0] is group


@pytest.mark.parametrize(
    ("changed", "code", "level", "step"),
    [
        ({"stage": Stage.UNDER_WAY}, "all_in_not_closed", Level.CAUTION, NextStep.CLOSE_EVENT),
        ({"days": -1}, "day_past_not_closed", Level.CAUTION, NextStep.CALL_OFF),
        ({"land_stops": (Reason("closed"),)}, "land_says_no", Level.STOP, NextStep.SETTLE_LAND),
        ({"stage": Stage.DRAFT}, "draft_not_open", Level.CAUTION, NextStep.OPEN_EVENT),
        (
            {"date_state": DateState.EXPECTED},
            "day_not_fixed",
            Level.CAUTION,
            NextStep.FIX_DAY,
        ),
        ({"lead": "", "best_lead": "Bo"}, "lead_can_be_asked", Level.STOP, NextStep.ASK_LEAD),
        ({"lead": "", "best_lead": ""}, "no_lead_to_ask", Level.STOP, NextStep.ASK_LEAD),
        ({"lead": ""}, "event_without_lead", Level.STOP, NextStep.ASK_LEAD),
        (
            {"lead": "", "asked_lead": "Bo"},
            "lead_has_not_answered",
            Level.CAUTION,
            NextStep.ASK_LEAD,
        ),
        ({"lead_cleared": False}, "lead_not_cleared_on_day", Level.STOP, NextStep.ASK_LEAD),
        ({"short": 1}, "crew_short", Level.STOP, NextStep.INVITE_CREW),
        ({"short": 1, "days": 9}, "crew_short", Level.CAUTION, NextStep.INVITE_CREW),
        ({"has_duty": False}, "nobody_on_duty", Level.STOP, NextStep.NAME_DUTY),
        ({"stops": (Reason("no_first_aid"),)}, "check_says_stop", Level.STOP, NextStep.SHOW_CHECK),
        ({}, "can_be_ready", Level.CAUTION, NextStep.MARK_READY),
    ],
)
def test_each_state_has_its_one_next_step(changed, code, level, step):
    found = row(**changed)
    assert found[1:] == (level, code, step)


def test_a_closure_is_settled_before_a_lead_is_asked():
    assert row(lead="", land_stops=(Reason("closed"),))[3] is NextStep.SETTLE_LAND


def test_a_ready_event_with_nothing_against_it_is_clear():
    assert decision(standing(stage=Stage.READY), NOW) is None


def test_a_far_event_that_lacks_nothing_is_clear():
    assert decision(standing(days=20), NOW) is None


@pytest.mark.parametrize(("days", "shown"), [(21, True), (21 + 1 / 1440, False)])
def test_a_draft_is_shown_from_three_weeks_before(days, shown):
    assert (row(days=days, stage=Stage.DRAFT) is not None) is shown


def test_a_meeting_needs_no_lead():
    assert decision(standing(kind=EventKind.MEETING, lead="", has_duty=False), NOW) is None


def test_rows_stand_late_first_then_by_day():
    late = standing(event=1, stage=Stage.UNDER_WAY, out=2, back_at=NOW, clock_at=NOW)
    out = replace(
        late, event=2, back_at=NOW - timedelta(hours=1), clock_at=NOW + timedelta(hours=1)
    )
    rows = decisions(
        [standing(event=4, days=9, lead=""), standing(event=3, days=1, lead=""), out, late], NOW
    )
    assert [r.event for r in rows] == [1, 2, 3, 4]


def test_a_population_ready_soon_without_an_event_asks_for_one():
    soon = RipeSoon(
        121,
        7,
        "Balsamroot at Marrow Butte",
        (NOW + timedelta(days=3)).date(),
        NOW + timedelta(days=3),
        0.846,
    )
    later = replace(soon, population=9, best_at=NOW + timedelta(days=5))
    rows = unserved([later, soon], NOW)
    assert [(r.group, r.headline.facts["population"]) for r in rows] == [(SOON, 121), (LATER, 9)]
    assert rows[0].step is NextStep.CREATE_EVENT
    assert rows[0].why[0].facts["share"] == 0.846


def test_people_whom_no_region_cares_for_are_one_row():
    assert without_region(0, NOW) == []
    [row] = without_region(3, NOW)
    assert (row.group, row.step, row.headline.facts["n"]) == (LATER, NextStep.HAND_OVER, 3)
