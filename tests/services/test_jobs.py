"""Job slots: once each, caught up after an outage, given up when too late or after five tries."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from flask import Flask

from roster.domain.errors import BadInput, NotFound
from roster.domain.people import system
from roster.services import jobs, reminders
from roster.services.clock import SetClock
from roster.services.jobs import Due
from roster.store.registry import Store
from roster.store.transaction import read
from tests.support.crew_mail import change_event, kinds, move, published

CLI = system("cli")


class Counted:
    """An effect that counts its runs and fails the first `failures` times."""

    def __init__(self, failures: int = 0) -> None:
        self.runs, self.failures = 0, failures

    def __call__(self, store: Store) -> str:
        self.runs += 1
        if self.runs <= self.failures:
            raise RuntimeError("on purpose")
        return "done"


def slot(effect: Counted, clock: SetClock, name: str = "2027-06-16") -> Due:
    return Due("trial", name, clock.now() + timedelta(hours=1), effect)


def state(name: str = "2027-06-16") -> str:
    known = read(lambda s: s.job_runs.get("trial", name))
    return known.state if known else "none"


def test_a_slot_runs_once_however_often_it_is_due(both: Flask, clock: SetClock) -> None:
    effect = Counted()
    for owner in ("one", "two", "one"):
        jobs.run([slot(effect, clock)], owner, clock.now())
    assert effect.runs == 1
    assert state() == "done"


def test_a_slot_that_fails_is_tried_five_times_and_is_then_dead(
    both: Flask, clock: SetClock
) -> None:
    effect = Counted(failures=9)
    for _ in range(7):
        jobs.run([slot(effect, clock)], "one", clock.now())
    assert effect.runs == 5
    assert state() == "dead"
    jobs.retry(CLI, "trial", "2027-06-16")
    effect.failures = 0
    assert jobs.run([slot(effect, clock)], "one", clock.now()) == ["trial 2027-06-16: done"]


def test_one_slot_that_fails_does_not_stop_the_next(both: Flask, clock: SetClock) -> None:
    bad, good = Counted(failures=9), Counted()
    said = jobs.run([slot(bad, clock, "a"), slot(good, clock, "b")], "one", clock.now())
    assert said == ["trial a: failed", "trial b: done"]


def test_a_slot_that_comes_too_late_is_marked_and_not_run(both: Flask, clock: SetClock) -> None:
    effect = Counted()
    late = slot(effect, clock)
    clock.forward(timedelta(hours=1))
    assert jobs.run([late], "one", clock.now()) == ["trial 2027-06-16: expired"]
    assert effect.runs == 0
    assert state() == "expired"


def test_the_slot_of_a_dead_worker_is_taken_over_when_its_lease_ends(
    both: Flask, clock: SetClock
) -> None:
    from roster.store.transaction import write

    now = clock.now()
    write(
        lambda s: s.job_runs.claim("trial", "2027-06-16", "dead", now, now + jobs.LEASE),
        actor=CLI,
    )
    effect = Counted()
    assert jobs.run([slot(effect, clock)], "one", now) == ["trial 2027-06-16: taken"]
    clock.forward(jobs.LEASE + timedelta(seconds=1))
    assert jobs.run([slot(effect, clock)], "one", clock.now())[0].endswith("done")
    assert effect.runs == 1


def test_what_a_failed_slot_wrote_is_gone(both: Flask, clock: SetClock) -> None:
    def writes_and_fails(store: Store) -> str:
        store.job_runs.beat("half", "way", "x")
        raise RuntimeError("on purpose")

    due = Due("trial", "half", clock.now() + timedelta(hours=1), writes_and_fails)
    jobs.run([due], "one", clock.now())
    assert read(lambda s: s.job_runs.get("half", "way")) is None


def test_only_a_slot_that_failed_can_be_retried(both: Flask, clock: SetClock) -> None:
    jobs.run([slot(Counted(), clock)], "one", clock.now())
    with pytest.raises(BadInput):
        jobs.retry(CLI, "trial", "2027-06-16")
    with pytest.raises(NotFound):
        jobs.retry(CLI, "trial", "never")


def test_the_heart_beats(both: Flask, clock: SetClock) -> None:
    assert jobs.heartbeat_age_seconds() is None
    jobs.beat("one")
    clock.forward(timedelta(seconds=40))
    assert jobs.heartbeat_age_seconds() == 40
    jobs.beat("one")
    assert jobs.heartbeat_age_seconds() == 0
    assert len(jobs.listing()) == 1


@pytest.mark.parametrize(
    ("minutes_before", "reminded"), [(48 * 60 + 1, False), (48 * 60, True), (6 * 60 + 1, True)]
)
def test_reminders_leave_two_days_before_and_not_earlier(
    both: Flask, clock: SetClock, minutes_before: int, reminded: bool
) -> None:
    world = published()
    start = read(lambda s: s.events.row(world.events["own"]).starts_at)
    _at(clock, start - timedelta(minutes=minutes_before))
    jobs.run(reminders.due(clock.now()), "one", clock.now())
    jobs.run(reminders.due(clock.now()), "two", clock.now())
    who = ("crew", "lead", "minor") if reminded else ()
    wanted = [("reminder", name) for name in who]
    assert sorted(kinds(world)) == wanted


def test_a_reminder_too_late_to_help_is_not_sent(both: Flask, clock: SetClock) -> None:
    world = published()
    start = read(lambda s: s.events.row(world.events["own"]).starts_at)
    _at(clock, start - timedelta(hours=6))
    (said,) = jobs.run(reminders.due(clock.now()), "one", clock.now())
    assert said.endswith("expired")
    assert kinds(world) == []


def test_an_event_that_moves_gets_a_reminder_of_its_new_day(both: Flask, clock: SetClock) -> None:
    world = published()
    start = read(lambda s: s.events.row(world.events["own"]).starts_at)
    _at(clock, start - timedelta(hours=40))
    jobs.run(reminders.due(clock.now()), "one", clock.now())
    move(world, timedelta(days=3))
    _at(clock, start + timedelta(hours=30))
    jobs.run(reminders.due(clock.now()), "one", clock.now())
    assert [k for k, _ in kinds(world)].count("reminder") == 6  # three people, two days


@pytest.mark.parametrize("column", [{"date_state": "expected"}, {"stage": "called_off"}])
def test_no_reminder_of_a_window_or_of_what_is_called_off(
    both: Flask, clock: SetClock, column: dict[str, str]
) -> None:
    world = published(2)
    change_event(world, **column)
    assert [d for d in reminders.due(clock.now()) if str(world.events["own"]) in d.slot] == []


def _at(clock: SetClock, at: datetime) -> None:
    clock.at = at
