"""What a trial may be, and when it is taken back."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.errors import BadInput
from roster.domain.events import DateState, Event, EventKind, Stage
from roster.domain.trial import Act, Left, Wanted, bars, bars_undo, check_wanted, in_order, shifted

START = datetime.fromisoformat("2027-06-20 07:00")
EVENT = Event(
    7, EventKind.COLLECTING, Stage.OPEN, DateState.FIXED, START, START + timedelta(hours=5),
    "America/Los_Angeles", datetime(2027, 6, 20, 14, tzinfo=UTC),
    datetime(2027, 6, 20, 19, tzinfo=UTC), 1, 1, 8,
)  # fmt: skip
MOVE = Wanted(Act.MOVE, 2, why="heat")


def codes(reasons):
    return [r.code for r in reasons]


@pytest.mark.parametrize("days", [0, 61, -61])
def test_a_move_is_by_one_to_sixty_days_either_way(days):
    with pytest.raises(BadInput):
        check_wanted(replace(MOVE, days=days), [7])
    check_wanted(replace(MOVE, days=60), [7])
    check_wanted(replace(MOVE, days=-60), [7])


def test_a_trial_needs_events_a_reason_and_a_lead_to_swap():
    for wanted, events in (
        (MOVE, []),
        (MOVE, range(101)),
        (replace(MOVE, why=" "), [7]),
        (Wanted(Act.SWAP_LEAD, why="ill"), [7]),
    ):
        with pytest.raises(BadInput):
            check_wanted(wanted, events)
    check_wanted(MOVE, range(100))


def test_people_who_are_out_are_left_to_the_phone():
    today = date(2027, 6, 20)
    for act in Act:
        wanted = Wanted(act, 1, 3, "fire")
        assert codes(bars(replace(EVENT, stage=Stage.UNDER_WAY), wanted, today)) == [
            "trial_people_out"
        ]
    assert bars(EVENT, MOVE, today) == []
    assert codes(bars(replace(EVENT, stage=Stage.DONE), MOVE, today)) == ["event_not_changeable"]


def test_nothing_is_moved_into_the_past():
    back = replace(MOVE, days=-2)
    assert bars(EVENT, back, date(2027, 6, 18)) == []
    assert codes(bars(EVENT, back, date(2027, 6, 19))) == ["event_day_is_past"]
    assert shifted(EVENT, -2)[0] == datetime.fromisoformat("2027-06-18 07:00")


def test_events_under_way_come_first():
    early, late = date(2027, 6, 1), date(2027, 7, 1)
    rows = [(Stage.OPEN, early, 1), (Stage.UNDER_WAY, late, 2), (Stage.READY, early, 3)]
    assert in_order(rows) == [2, 1, 3]


def test_a_trial_is_taken_back_until_a_mail_left_or_somebody_acted():
    assert bars_undo([Left(7, (3, 3), (5, 5))]) == []
    assert codes(bars_undo([Left(7, (3, 3), (5, 6))])) == ["trial_acted_on"]
    assert codes(bars_undo([Left(7, (3, 4), (5, 5))])) == ["trial_acted_on"]
    assert codes(bars_undo([Left(7, (3, 3), (5, 5), 1)])) == ["trial_mail_has_left"]
