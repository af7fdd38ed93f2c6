"""To decide, from what is on record, on both databases."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from roster.domain.decide import Group, NextStep
from roster.domain.people import Actor, ActorKind, Grant, Role, StaffRole
from roster.domain.reasons import Level
from roster.services import crewcheck, decide, event_changes, events, plants
from roster.services.clock import SetClock
from roster.services.event_changes import EventChange
from roster.services.plants import NewPopulation
from roster.store.models.events import event as event_table
from roster.store.models.field import head_count
from roster.store.transaction import read
from tests.support.crews import TEST, act, add_people, crew, duty, lapse, open_event
from tests.support.land import EVENT_DAY, Land, add_site, land, new_event, permit
from tests.support.leads import a_lead

pytestmark = pytest.mark.usefixtures("both")


@pytest.fixture
def ground() -> Land:
    return land()


def rows(actor=TEST):
    """The rows about events and populations."""
    return tuple(r for r in decide.to_decide(actor).rows if r.step is not NextStep.HAND_OVER)


def codes(actor=TEST):
    return [row.headline.code for row in rows(actor)]


def counted(event, way):
    """Everybody placed is counted out or in, one row a person."""

    def body(store):
        for spot in store.spots.of_event(event):
            store.unit.insert(head_count, event=event, spot=spot.id, way=way, at=store.unit.at)
        stage = {"stage": "under_way"}
        store.unit.run(event_table.update().where(event_table.c.id == event).values(**stage))

    act(body)


def test_an_event_without_a_lead_names_the_first_of_the_ranking(ground):
    event = open_event(ground)
    assert codes() == ["no_lead_to_ask"]
    a_lead("Ana Ferrer")
    [row] = rows()
    assert (row.headline.code, row.headline.facts["best"]) == ("lead_can_be_asked", "Ana Ferrer")
    assert (row.step, row.event, row.group) == (NextStep.ASK_LEAD, event, Group.LATER)


def test_a_crew_one_short_says_so_and_a_complete_one_asks_for_duty_then_is_clear(ground):
    event = open_event(ground, minimum_crew=4)
    crew(event, 1)
    [row] = rows()
    assert (row.headline.code, row.headline.facts["n"]) == ("crew_short", 1)
    event_changes.change_event(TEST, event, EventChange(minimum_crew=3))
    assert codes() == ["nobody_on_duty"]
    duty(ground, event)
    assert (rows(), [c.event for c in decide.to_decide(TEST).clear]) == ((), [event])


def test_people_who_are_out_come_first_with_the_clock_of_the_site(clock: SetClock):
    ground = land(minutes_to_signal=20)
    event = open_event(ground)
    crew(event, 1)
    duty(ground, event)
    other = open_event(ground, day=date(2027, 6, 18))
    counted(event, "out")
    row = read(lambda store: store.events.row(event))
    clock.at = row.starts_at + timedelta(hours=1)
    found = decide.to_decide(TEST)
    assert found.out == 3
    first = found.rows[0]
    assert (first.group, first.level, first.event) == (Group.OUT_NOW, Level.CLEAR, event)
    late = row.ends_at + timedelta(minutes=row.walk_out_minutes + row.minutes_to_signal)
    clock.at = late - timedelta(seconds=1)
    assert rows()[0].level is Level.CAUTION
    clock.at = late
    assert (rows()[0].level, rows()[0].headline.code) == (Level.STOP, "crew_is_late")
    counted(event, "in")
    assert [(r.event, r.headline.code) for r in rows()] == [
        (other, "day_past_not_closed"),
        (event, "all_in_not_closed"),
    ]


def test_each_coordinator_decides_for_their_own_region(ground):
    events.create_event(TEST, new_event(ground))
    grant = Grant(StaffRole.REGIONAL, ground.region, date(2027, 1, 1), None)
    other = Grant(StaffRole.REGIONAL, ground.other_region, date(2027, 1, 1), None)
    mine = Actor(ActorKind.PERSON, "Imke Raske", 1, (grant,))
    theirs = Actor(ActorKind.PERSON, "Dale Whitcomb", 2, (other,))
    assert codes(mine) == ["draft_not_open"]
    assert codes(theirs) == []
    assert decide.to_decide(mine).regions == ("Palouse",)


def test_a_population_is_offered_only_where_its_best_day_is_permitted(ground):
    assert codes() == ["ready_without_event"]
    [row] = rows()
    assert row.headline.facts["population"] == ground.population
    assert row.headline.facts["day"] == date(2027, 6, 26)
    other = add_site(ground.region, name="Saddle Lake")
    fresh = plants.add_population(TEST, NewPopulation(other, ground.taxon, ground.zone))
    assert len(rows()) == 1
    permit(other, [ground.taxon], last_day=date(2027, 6, 25))
    assert len(rows()) == 1
    permit(other, [ground.taxon], last_day=date(2027, 6, 26))
    assert {r.headline.facts["population"] for r in rows()} == {ground.population, fresh}


def test_an_event_there_takes_the_population_off_the_list(ground):
    number = events.create_event(TEST, new_event(ground, EVENT_DAY))
    assert codes() == ["draft_not_open"]
    events.call_off(TEST, number, "smoke")
    assert codes() == ["ready_without_event"]


def test_a_lead_who_is_no_longer_cleared_is_the_first_thing_about_the_event(ground):
    event = open_event(ground)
    lead, *_ = crew(event, 2)
    duty(ground, event)
    lapse(lead, Role.LEAD, EVENT_DAY)
    act(lambda store: crewcheck.refresh(store, event))
    [row] = rows()
    assert row.headline.code == "lead_not_cleared_on_day"
    assert [r.code for r in row.why][1:] == ["lead_not_cleared"]


def test_people_without_a_region_are_a_row_for_the_programmes_coordinator_only(ground):
    add_people(2)
    found = [r for r in decide.to_decide(TEST).rows if r.step is NextStep.HAND_OVER]
    assert [r.headline.facts["n"] for r in found] == [2]
    grant = Grant(StaffRole.REGIONAL, ground.region, date(2027, 1, 1), None)
    regional = Actor(ActorKind.PERSON, "Imke Raske", 1, (grant,))
    assert all(r.step is not NextStep.HAND_OVER for r in decide.to_decide(regional).rows)
