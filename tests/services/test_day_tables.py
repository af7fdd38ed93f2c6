"""Busy days and summaries agree with what they are derived from, and are mended by `rebuild`."""

from datetime import timedelta

import pytest

from roster.jobs import slots
from roster.services import day_tables, jobs, spots
from roster.store.models.events import event_summary
from roster.store.models.people import busy
from roster.store.transaction import read
from tests.support.crews import TEST, act, add_people, as_person, crew, open_event
from tests.support.land import EVENT_DAY, land, permit

pytestmark = pytest.mark.usefixtures("both")


def differing():
    return {(d.what, d.object_id) for d in day_tables.checked()}


def test_after_every_act_the_derived_tables_agree():
    event = open_event()
    people = crew(event, more=2)
    assert differing() == set()
    spots.withdraw(as_person(people[3]), event, people[3])
    assert differing() == set()


def test_what_was_changed_behind_our_back_is_found_and_mended():
    event = open_event()
    people = crew(event)
    [stranger] = add_people(1)
    act(lambda s: s.unit.run(busy.delete().where(busy.c.root == people[0])))
    act(lambda s: s.unit.run(busy.insert().values(day=EVENT_DAY, root=stranger, events=1)))
    act(lambda s: s.unit.run(event_summary.update().values(adults=0, short=9)))
    assert differing() == {
        ("busy", people[0]), ("busy", stranger), ("event_summary", event)
    }  # fmt: skip
    day_tables.rebuild(TEST)
    assert differing() == set()


def test_once_a_day_cautions_that_depend_on_the_day_are_made_anew(clock):
    ground = land()
    permit(ground.site, [ground.taxon], notice_days=2)
    event = open_event(ground)
    codes = lambda: {f.reason.code for f in read(lambda s: s.summary.of(event)).findings}  # noqa: E731
    assert "notice_to_give" in codes()
    clock.forward(timedelta(days=3))
    assert "notice_to_give" in codes()
    jobs.run(slots.due(clock.now()), "test", clock.now())
    assert "notice_overdue" in codes()
    again = [s for s in slots.due(clock.now()) if s.job == "summaries"]
    assert jobs.run(again, "test", clock.now()) == []
