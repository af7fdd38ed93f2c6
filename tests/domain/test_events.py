"""Which move of an event is allowed when. Stages and their order: our own design."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import product

import pytest

from roster.domain.errors import RuleBroken
from roster.domain.events import (
    OVERRIDABLE,
    Check,
    DateState,
    Event,
    EventKind,
    Move,
    NothingTaken,
    Outcome,
    Override,
    Stage,
    checks_before,
    move,
    move_allowed,
)
from roster.domain.reasons import Finding, Level, Reason

DAY = date(2027, 6, 20)
LOCAL = datetime.fromisoformat("2027-06-20 07:00")
START = datetime(2027, 6, 20, 14, 0, tzinfo=UTC)
EVENT = Event(
    418,
    EventKind.COLLECTING,
    Stage.DRAFT,
    DateState.FIXED,
    LOCAL,
    LOCAL + timedelta(hours=5),
    "America/Los_Angeles",
    START,
    START + timedelta(hours=5),
    site=7,
    region=1,
    capacity=8,
    duty_person=20,
    stand_in=21,
)
STOP = Finding(Level.STOP, Reason("permission_missing"))
NOT_WILD = Finding(Level.STOP, Reason("population_not_wild"))


def at(stage, **changed):
    return replace(EVENT, stage=stage, **changed)


def why_not(event, wanted, findings=(), overrides=()):
    with pytest.raises(RuleBroken) as caught:
        move(event, wanted, findings, overrides)
    return [r.code for r in caught.value.reasons]


def wish(to, **said):
    ending = {"why": "smoke"} if to is Stage.CALLED_OFF else {}
    if to is Stage.DONE:
        ending = {"outcome": Outcome.COLLECTED}
    return Move(to, DAY, **(ending | said))


# The whole table by hand: from each stage, where it may go.
MAY = {
    ("draft", "open"),
    ("draft", "called_off"),
    ("open", "draft"),
    ("open", "ready"),
    ("open", "called_off"),
    ("ready", "open"),
    ("ready", "under_way"),
    ("ready", "called_off"),
    ("under_way", "done"),
    ("under_way", "called_off"),
}


@pytest.mark.parametrize(("from_", "to"), list(product(Stage, Stage)))
def test_each_stage_leads_only_where_the_table_says(from_, to):
    if (from_.value, to.value) in MAY:
        move(at(from_), wish(to))
        assert move_allowed(at(from_), wish(to))
    else:
        assert why_not(at(from_), wish(to)) == ["move_not_allowed"]
        assert not move_allowed(at(from_), wish(to))


def test_a_stop_holds_the_move_and_a_caution_does_not():
    caution = Finding(Level.CAUTION, Reason("notice_to_give"))
    move(EVENT, wish(Stage.OPEN), [caution])
    assert why_not(EVENT, wish(Stage.OPEN), [caution, STOP]) == ["permission_missing"]


def test_an_answered_stop_lets_the_move_pass():
    move(EVENT, wish(Stage.OPEN), [NOT_WILD], [Override("population_not_wild", "increase field")])


def test_an_answer_needs_a_reason():
    codes = why_not(EVENT, wish(Stage.OPEN), [NOT_WILD], [Override("population_not_wild", " ")])
    assert codes == ["population_not_wild", "override_without_reason"]


@pytest.mark.parametrize(
    "code",
    [
        "permission_missing",
        "permission_not_in_force",
        "permission_lacks_taxon",
        "permission_people",
        "permission_vehicles",
        "listed_without_permit",
        "closed",
        "closed_until_lifted",
        "a_code_that_nobody_has_thought_of_yet",
    ],
)
def test_no_reason_answers_for_the_stops_that_are_never_overridden(code):
    finding = Finding(Level.STOP, Reason(code))
    answer = [Override(code, "we will be careful", by="V1")]
    assert why_not(EVENT, wish(Stage.OPEN), [finding], answer) == [code, "override_never"]
    assert code not in OVERRIDABLE


@pytest.mark.parametrize(("to", "stage"), [(Stage.OPEN, Stage.DRAFT), (Stage.READY, Stage.OPEN)])
def test_an_event_opens_until_its_last_day_and_not_after(to, stage):
    move(at(stage), Move(to, DAY))
    assert why_not(at(stage), Move(to, DAY + timedelta(days=1))) == ["event_day_is_past"]


@pytest.mark.parametrize(
    ("today", "codes"),
    [
        (DAY - timedelta(days=1), ["not_on_its_day"]),
        (DAY, []),
        (DAY + timedelta(days=1), ["not_on_its_day"]),
    ],
)
def test_a_crew_starts_on_the_day_of_the_event(today, codes):
    wanted = Move(Stage.UNDER_WAY, today)
    if codes:
        assert why_not(at(Stage.READY), wanted) == codes
    else:
        move(at(Stage.READY), wanted)


def test_an_expected_window_is_neither_ready_nor_under_way():
    for stage, to in ((Stage.OPEN, Stage.READY), (Stage.READY, Stage.UNDER_WAY)):
        event = at(stage, date_state=DateState.EXPECTED)
        assert why_not(event, wish(to)) == ["date_not_fixed"]


@pytest.mark.parametrize(
    ("duty", "stand_in", "codes"),
    [
        (None, None, ["duty_person_missing", "stand_in_missing"]),
        (20, None, ["stand_in_missing"]),
        (20, 20, ["stand_in_is_duty_person"]),
    ],
)
def test_nobody_goes_out_without_a_duty_person_and_a_stand_in(duty, stand_in, codes):
    # common practice, no source
    event = at(Stage.READY, duty_person=duty, stand_in=stand_in)
    assert why_not(event, wish(Stage.UNDER_WAY)) == codes


def test_a_meeting_needs_no_duty_person_and_no_checks():
    meeting = at(Stage.READY, kind=EventKind.MEETING, duty_person=None, stand_in=None)
    move(meeting, wish(Stage.UNDER_WAY))
    assert checks_before(EventKind.MEETING, Stage.UNDER_WAY) == frozenset()


def test_a_crew_goes_under_way_only_after_land_crew_and_briefing_were_looked_at():
    assert checks_before(EventKind.COLLECTING, Stage.UNDER_WAY) == {
        Check.LAND,
        Check.CREW,
        Check.BRIEFING,
    }
    assert checks_before(EventKind.SITE_CHECK, Stage.DONE) == {Check.COUNT}
    assert checks_before(EventKind.COLLECTING, Stage.CALLED_OFF) == frozenset()


@pytest.mark.parametrize(
    ("said", "codes"),
    [
        ({"outcome": None}, ["outcome_missing"]),
        ({"outcome": Outcome.NOTHING_TAKEN}, ["nothing_taken_needs_why"]),
        ({"nothing_taken": NothingTaken.EATEN}, ["nothing_taken_needs_why"]),
    ],
    ids=["no outcome", "nothing taken, no why", "collected and yet a why"],
)
def test_a_collecting_event_ends_with_its_outcome(said, codes):
    assert why_not(at(Stage.UNDER_WAY), wish(Stage.DONE, **said)) == codes


def test_nothing_taken_and_why_is_an_outcome():
    # common practice, no source
    ended = {"outcome": Outcome.NOTHING_TAKEN, "nothing_taken": NothingTaken.TOO_GREEN}
    move(at(Stage.UNDER_WAY), wish(Stage.DONE, **ended))


def test_a_site_check_takes_nothing_and_has_no_outcome():
    check = at(Stage.UNDER_WAY, kind=EventKind.SITE_CHECK)
    move(check, wish(Stage.DONE, outcome=None))
    assert why_not(check, wish(Stage.DONE)) == ["outcome_only_for_collecting"]


def test_calling_off_says_why():
    assert why_not(at(Stage.OPEN), Move(Stage.CALLED_OFF, DAY, why=" ")) == ["call_off_needs_why"]


def test_an_event_goes_back_to_draft_only_while_no_spot_is_taken():
    move(at(Stage.OPEN), wish(Stage.DRAFT))
    assert why_not(at(Stage.OPEN, taken=1), wish(Stage.DRAFT)) == ["spots_already_taken"]
