"""The collection record on both databases: numbers, the limit kept, all crews counted."""

from datetime import timedelta

import pytest

from roster.domain.collecting import StandCount, Taken
from roster.domain.errors import BadInput, NotAllowed, RuleBroken
from roster.domain.events import NothingTaken
from roster.domain.harvest import Most
from roster.services import collecting, events
from roster.store.models.events import event as events_table
from roster.store.models.field import collection
from roster.store.transaction import read
from tests.support.crews import TEST, act, add_people, as_person, crew, open_event
from tests.support.land import EVENT_DAY, land

pytestmark = pytest.mark.usefixtures("both")
STAND = StandCount(500, 10, 20, 20, 16)


def under_way(ground, day=EVENT_DAY):
    """An event that was started, past the checks of the day; gives it and its lead."""
    number = open_event(ground, day=day)
    people = crew(number)
    act(
        lambda s: s.unit.run(
            events_table.update().where(events_table.c.id == number).values(stage="under_way")
        )
    )
    return number, as_person(people[0])


@pytest.fixture
def day(clock):
    ground = land()
    clock.forward(timedelta(days=4))
    number, lead = under_way(ground)
    return ground, number, lead


def rows(event):
    return read(lambda store: store.collections.of_event(event))


def only(lead, event):
    [one] = collecting.page(lead, event)
    return one


def test_counting_gives_a_number_and_keeps_the_limit_with_its_rules(day):
    ground, event, lead = day
    assert collecting.count_stand(lead, event, ground.population, STAND) == "Palouse-1"
    [row] = rows(event)
    assert (row.most_to_take, row.standing, row.taken) == (1000, 5000, None)
    assert (row.rule_set, row.rule_version) == ("common species", "1")
    assert "section 9" in row.source


def test_counting_again_replaces_the_record_under_the_same_number(day):
    ground, event, lead = day
    collecting.count_stand(lead, event, ground.population, STAND)
    collecting.record_taken(lead, event, ground.population, Taken(300, voucher="V-7"))
    again = StandCount(400, 10, 20, 20, 16)
    assert collecting.count_stand(lead, event, ground.population, again) == "Palouse-1"
    [row] = rows(event)
    assert (row.most_to_take, row.taken, row.voucher) == (800, 300, "V-7")
    kept = read(lambda s: s.unit.run(collection.select().order_by(collection.c.id)).all())
    assert [r.ended_at is None for r in kept] == [False, False, True]


def test_nothing_is_recorded_before_the_count(day):
    ground, event, lead = day
    with pytest.raises(RuleBroken) as caught:
        collecting.record_taken(lead, event, ground.population, Taken(1))
    assert [r.code for r in caught.value.reasons] == ["count_the_stand_first"]
    assert rows(event) == []


def test_another_crew_of_the_same_day_shares_the_limit(day):
    ground, event, lead = day
    collecting.count_stand(lead, event, ground.population, STAND)
    collecting.record_taken(lead, event, ground.population, Taken(900))
    other, other_lead = under_way(ground)
    assert collecting.count_stand(other_lead, other, ground.population, STAND) == "Palouse-11"
    one = only(other_lead, other)
    assert isinstance(one.limit, Most)
    assert (one.limit.fruits, one.taken_by_others) == (100, 900)
    with pytest.raises(BadInput) as caught:
        collecting.record_taken(other_lead, other, ground.population, Taken(101))
    assert caught.value.reason.code == "taken_above_most"
    collecting.record_taken(other_lead, other, ground.population, Taken(100))


def test_a_later_visit_stops_at_the_seasons_share_until_a_coordinator_decides(day, clock):
    ground, event, lead = day
    collecting.count_stand(lead, event, ground.population, STAND)
    collecting.record_taken(lead, event, ground.population, Taken(1000))
    later, later_lead = under_way(ground, EVENT_DAY + timedelta(days=7))
    clock.forward(timedelta(days=7))
    collecting.count_stand(later_lead, later, ground.population, StandCount(400, 10, 20, 20, 16))
    [reason] = only(later_lead, later).limit.reasons
    assert reason.code == "seasons_share_taken"
    events.answer_for_stop(TEST, later, "seasons_share_taken", "New stems came up")
    assert only(later_lead, later).limit.fruits == 800


def test_nothing_taken_is_a_record_with_why(day):
    ground, event, lead = day
    collecting.count_stand(lead, event, ground.population, StandCount(50, 10, 20, 20, 16))
    assert [r.code for r in only(lead, event).limit.reasons] == ["too_few_plants_ripe"]
    why = NothingTaken.FIFTY_OR_FEWER
    collecting.record_taken(lead, event, ground.population, Taken(nothing=why))
    [row] = rows(event)
    assert (row.taken, row.nothing_taken) == (0, "fifty_or_fewer")


def test_only_lead_data_collector_and_staff_write_it(day):
    ground, event, _lead = day
    [stranger] = add_people(1)
    with pytest.raises(NotAllowed):
        collecting.count_stand(as_person(stranger), event, ground.population, STAND)


def test_a_closed_event_is_added_to_by_staff_alone(day):
    ground, event, lead = day
    act(
        lambda s: s.unit.run(
            events_table.update().where(events_table.c.id == event).values(stage="done")
        )
    )
    with pytest.raises(NotAllowed):
        collecting.count_stand(lead, event, ground.population, STAND)
    assert collecting.count_stand(TEST, event, ground.population, STAND)
