"""When a move is asked about, not just told."""

from datetime import UTC, datetime, timedelta

from roster.domain.moving import answer_again_by, asks_again, silent_who_make_room

START, END = datetime.fromisoformat("2027-06-20 07:00"), datetime.fromisoformat("2027-06-20 12:30")


def moved(**by):
    shift = timedelta(**by)
    return asks_again((START, END), (START + shift, END + shift))


def test_another_day_is_asked_about():
    assert moved(days=1)
    assert not moved(days=0)


def test_on_the_same_day_an_hour_is_told_and_a_minute_more_is_asked():
    assert not moved(minutes=60)
    assert moved(minutes=61)
    assert not moved(minutes=-60)
    assert moved(minutes=-61)


def test_an_earlier_end_is_told_only():
    assert not asks_again((START, END), (START, END - timedelta(hours=3)))


def test_the_answer_is_wanted_in_two_days_or_a_day_before_the_start():
    now = datetime(2027, 6, 16, 15, tzinfo=UTC)
    assert answer_again_by(now + timedelta(days=6), now) == now + timedelta(hours=48)
    assert answer_again_by(now + timedelta(days=2), now) == now + timedelta(hours=24)
    assert answer_again_by(now + timedelta(hours=20), now) == now + timedelta(hours=2)


def test_as_many_silent_ones_make_room_as_wait():
    assert silent_who_make_room(3, 2) == 2
    assert silent_who_make_room(1, 2) == 1
