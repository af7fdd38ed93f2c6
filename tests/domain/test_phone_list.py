"""Who knows already, and from when on people are called (24 hours: our own default)."""

from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.phone_list import Heard, is_due

START = datetime(2027, 6, 20, 14, 0, tzinfo=UTC)
END = START + timedelta(hours=5)
SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("now", "due"),
    [
        (START - timedelta(hours=24), False),
        (START - timedelta(hours=24) + SECOND, True),
        (END, True),
        (END + SECOND, False),
    ],
)
def test_the_list_is_due_from_less_than_a_day_before_to_the_end(now, due):
    assert is_due(START, END, now) is due


@pytest.mark.parametrize(
    ("heard", "told"),
    [
        (Heard(), False),  # nothing went out: still to be called
        (Heard(by_phone=0), True),
        (Heard(sent=3), False),  # sent is not seen
        (Heard(sent=3, seen=2), False),
        (Heard(sent=3, seen=3), True),
        (Heard(sent=3, by_phone=2), False),  # told before the last change
        (Heard(sent=3, by_phone=3), True),
    ],
)
def test_only_who_knows_the_newest_change_is_told(heard, told):
    assert heard.is_told is told
