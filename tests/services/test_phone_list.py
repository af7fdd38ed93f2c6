"""The phone list on both databases: due within a day, ticks kept with who called."""

import pytest

from roster.domain.errors import BadInput, NotAllowed, RuleBroken
from roster.services import messages, phone_list
from roster.store.models.people import guardian, person
from roster.store.transaction import read
from tests.support.crews import TEST, act, add_people, as_person, crew, days_before, open_event
from tests.support.land import EVENT_DAY

pytestmark = pytest.mark.usefixtures("both")


@pytest.fixture
def event():
    return open_event()


def lines(event, actor=TEST):
    return {x.spot.person: x for x in phone_list.phone_page(actor, event).lines}


def told(event):
    return {person for person, line in lines(event).items() if line.heard.is_told}


def test_no_number_is_shown_more_than_a_day_before(event, clock):
    people = crew(event)
    clock.forward(days_before(1))
    page = phone_list.phone_page(TEST, event)
    assert (page.due, page.lines) == (False, ())
    with pytest.raises(RuleBroken) as caught:
        phone_list.tick(TEST, event, people[0], True)
    assert [r.code for r in caught.value.reasons] == ["phone_list_not_due"]
    assert read(lambda store: store.phone_lists.calls(event)) == {}


def test_who_was_told_by_whom_is_kept_and_can_be_taken_back(event, clock):
    people = crew(event)
    clock.forward(days_before(0.9))
    lead, third = as_person(people[0]), people[2]
    assert phone_list.tick(lead, event, third, True) == 2
    assert phone_list.tick(lead, event, third, True) == 2
    assert lines(event)[third].call.by_name == "Ana Ferrer"
    assert told(event) == {third}
    acts = read(lambda store: store.journal.of("event", event, limit=2))
    assert {line.verb for line in acts} == {"told_by_phone"}
    assert phone_list.tick(lead, event, third, False) == 3
    assert told(event) == set()


def test_who_was_told_before_a_later_change_is_called_again(event, clock):
    people = crew(event)
    clock.forward(days_before(0.9))
    third = people[2]
    phone_list.tick(TEST, event, third, True)
    before = lines(event)[third].heard.sent
    act(
        lambda s: messages.queue(
            s, "update", event=event, n=before + 1, person=third, dedupe="test:later"
        )
    )
    assert told(event) == set()
    phone_list.tick(TEST, event, third, True)
    assert told(event) == {third}


def test_a_minors_guardians_stand_first(event, clock):
    people = crew(event)
    minor = people[2]

    def young(store):
        store.unit.run(
            person.update().where(person.c.id == minor).values(born_on=EVENT_DAY.replace(2011))
        )
        store.unit.insert(
            guardian, person=minor, name="Lena Odum", address="lena@example.org",
            phone="509 555 0101", from_on=EVENT_DAY.replace(2026),
        )  # fmt: skip

    act(young)
    clock.forward(days_before(0.9))
    line = lines(event)[minor]
    assert line.is_minor
    assert [(g.name, g.phone) for g in line.guardians] == [("Lena Odum", "509 555 0101")]
    assert lines(event)[people[0]].guardians == ()


def test_strangers_see_nothing_and_are_not_on_it(event, clock):
    crew(event)
    [stranger] = add_people(1)
    clock.forward(days_before(0.9))
    with pytest.raises(NotAllowed):
        phone_list.phone_page(as_person(stranger), event)
    with pytest.raises(NotAllowed):
        phone_list.tick(as_person(stranger), event, stranger, True)
    with pytest.raises(BadInput):
        phone_list.tick(TEST, event, stranger, True)
