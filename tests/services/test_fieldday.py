"""The day itself, from the car park to the closed event, on both databases.

Minimum crew, going out only briefed, counting everybody in: common practice, no source.
"""

from datetime import date, timedelta

import pytest

from roster.domain.errors import NotAllowed, RuleBroken
from roster.domain.events import Stage
from roster.domain.headcount import Way
from roster.domain.people import Role
from roster.domain.spots import SpotState
from roster.services import briefings, crewcheck, events, fieldday, fieldsheet, spots
from roster.services.fieldday import Counting
from roster.store.models.people import guardian
from roster.store.transaction import read
from tests.support.crews import (
    TEST,
    act,
    add_people,
    as_person,
    crew,
    days_before,
    duty,
    lapse,
    open_event,
    states,
)
from tests.support.land import EVENT_DAY, land

pytestmark = pytest.mark.usefixtures("both")


@pytest.fixture
def ready(clock):
    """A ready event with lead, data collector and two more; the clock stands an hour before."""
    ground = land()
    event = open_event(ground, vehicles=2)
    people = crew(event, more=2)
    duty(ground, event)
    events.mark_ready(TEST, event)
    clock.forward(days_before(1 / 24))
    return Day(event, people)


class Day:
    def __init__(self, event, people):
        self.event, self.people = event, people
        self.lead = as_person(people[0])

    def sheet(self):
        return fieldsheet.sheet(self.lead, self.event)

    def spot_of(self, person):
        return next(
            s.id for s in read(lambda t: t.spots.of_event(self.event)) if s.person == person
        )

    def here(self, *people, absent=()):
        said = {self.spot_of(p): True for p in people} | {self.spot_of(p): False for p in absent}
        return fieldday.mark_here(self.lead, self.event, said)

    def brief(self, *people):
        topics = [t.code for t in self.sheet().topics]
        heard = [self.spot_of(p) for p in people]
        return briefings.record(self.lead, self.event, topics, heard)

    def go(self):
        self.here(*self.people)
        self.brief(*self.people)
        return fieldday.start(self.lead, self.event)

    def count(self, way, *people, to_whom=""):
        wish = Counting(tuple(self.spot_of(p) for p in people), way, to_whom)
        return fieldday.count(self.lead, self.event, wish)


def why_not(act, *given, **more):
    with pytest.raises(RuleBroken) as caught:
        act(*given, **more)
    return [r.code for r in caught.value.reasons]


def stage(event):
    return read(lambda store: store.events.get(event)).stage


def test_a_day_goes_from_the_car_park_to_the_closed_event(ready):
    assert ready.go() == 4
    assert stage(ready.event) == "under_way"
    assert {p.count.way for p in ready.sheet().people} == {"out"}
    assert ready.count("in", *ready.people) == 0
    fieldday.finish(ready.lead, ready.event, "collected")
    assert stage(ready.event) == "done"
    row = read(lambda store: store.events.row(ready.event))
    assert (row.outcome, row.closed_at is not None) == ("collected", True)
    assert set(states(ready.event).values()) == {"came"}


def test_nobody_goes_out_before_each_one_is_marked_and_briefed(ready):
    assert {"came_not_said", "briefing_missing"} <= set(
        why_not(fieldday.start, ready.lead, ready.event)
    )
    ready.here(*ready.people)
    assert why_not(fieldday.start, ready.lead, ready.event) == ["briefing_missing"]
    ready.brief(*ready.people[:3])
    assert why_not(fieldday.start, ready.lead, ready.event) == ["briefing_not_heard"]
    assert stage(ready.event) == "ready"
    briefings.acknowledge(as_person(ready.people[3]), ready.event)
    assert fieldday.start(ready.lead, ready.event) == 4


def test_the_check_before_going_is_made_on_who_came(ready):
    lead, collector, *others = ready.people
    ready.here(lead, collector, absent=others)
    ready.brief(lead, collector)
    assert why_not(fieldday.start, ready.lead, ready.event) == ["crew_too_small"]
    assert crewcheck.check(TEST, ready.event).adults == 2


def test_somebody_whose_clearance_was_withdrawn_meanwhile_keeps_the_crew_at_home(ready):
    ready.here(*ready.people)
    ready.brief(*ready.people)
    lapse(ready.people[0], Role.LEAD, EVENT_DAY)
    assert why_not(fieldday.start, ready.lead, ready.event) == ["lead_not_cleared"]


def test_every_topic_must_be_marked_as_spoken(ready):
    ready.here(*ready.people)
    codes = [t.code for t in ready.sheet().topics]
    assert codes[0] == "topic_driving"
    assert why_not(briefings.record, ready.lead, ready.event, codes[1:], []) == [
        "topics_not_spoken"
    ]


def test_only_those_who_came_can_have_heard_the_briefing(ready):
    ready.here(*ready.people[:3])
    assert why_not(ready.brief, ready.people[3]) == ["not_here"]
    assert why_not(briefings.acknowledge, as_person(ready.people[3]), ready.event) == ["not_here"]


def test_a_late_comer_is_marked_briefed_and_counted_out(ready):
    *early, late = ready.people
    ready.here(*early, absent=[late])
    ready.brief(*early)
    fieldday.start(ready.lead, ready.event)
    ready.here(late)
    assert why_not(ready.count, "out", late) == ["not_briefed_yet"]
    briefings.tell_late(ready.lead, ready.event, [ready.spot_of(late)])
    assert ready.count("out", late) == 4
    heard = {p.spot.person: p.heard.way for p in ready.sheet().people}
    assert heard[late] == "late"


def test_a_late_comer_who_was_never_counted_stops_the_closing(ready):
    *early, late = ready.people
    ready.here(*early, absent=[late])
    ready.brief(*early)
    fieldday.start(ready.lead, ready.event)
    ready.here(late)
    ready.count("in", *early)
    assert why_not(fieldday.finish, ready.lead, ready.event, "collected") == ["never_counted"]


def test_an_event_closes_only_with_everybody_in_and_with_its_outcome(ready):
    ready.go()
    ready.count("in", *ready.people[1:])
    assert why_not(fieldday.finish, ready.lead, ready.event, "collected") == ["still_out"]
    ready.count("in", ready.people[0])
    assert why_not(fieldday.finish, ready.lead, ready.event) == ["outcome_missing"]
    assert why_not(fieldday.finish, ready.lead, ready.event, "nothing_taken") == [
        "nothing_taken_needs_why"
    ]
    fieldday.finish(ready.lead, ready.event, "nothing_taken", "too_green")
    row = read(lambda store: store.events.row(ready.event))
    assert (row.outcome, row.outcome_why) == ("nothing_taken", "too_green")


def test_after_closing_nothing_of_the_day_can_be_changed(ready):
    ready.go()
    ready.count("in", *ready.people)
    fieldday.finish(ready.lead, ready.event, "collected")
    for act_ in (
        lambda: ready.here(ready.people[0]),
        lambda: ready.brief(ready.people[0]),
        lambda: ready.count("out", ready.people[0]),
        lambda: fieldday.start(ready.lead, ready.event),
        lambda: fieldday.finish(ready.lead, ready.event, "collected"),
        lambda: briefings.add_reading(ready.lead, ready.event, "thunder"),
    ):
        assert why_not(act_) == ["event_is_closed"]
    gone = ready.people[2]
    assert why_not(spots.withdraw, as_person(gone), ready.event, gone) == ["withdraws_too_late"]


def test_nobody_is_counted_in_twice_or_marked_as_not_here_while_out(ready):
    ready.go()
    third = ready.people[2]
    assert why_not(ready.here, absent=[third]) == ["is_out_already"]
    assert ready.count("in", third) == 3
    assert why_not(ready.count, "in", third) == ["not_counted_out"]
    assert why_not(ready.count, "handed_over", third, to_whom="Keiko") == [
        "only_minors_handed_over"
    ]


def test_thunder_keeps_the_crew_at_the_cars_for_thirty_minutes(ready, clock):
    ready.here(*ready.people)
    ready.brief(*ready.people)
    briefings.add_reading(ready.lead, ready.event, "thunder")
    clock.forward(timedelta(minutes=29))
    assert why_not(fieldday.start, ready.lead, ready.event) == ["thunder_heard"]
    clock.forward(timedelta(minutes=1))
    assert fieldday.start(ready.lead, ready.event) == 4


def test_only_lead_data_collector_and_staff_may_act_on_the_day(ready):
    third = as_person(ready.people[2])
    for act_ in (fieldday.start, fieldday.finish, fieldsheet.sheet):
        with pytest.raises(NotAllowed):
            act_(third, ready.event)
    assert fieldsheet.sheet(TEST, ready.event).minimum == 3


def test_the_day_before_nothing_of_the_day_can_be_done(clock):
    ground = land()
    event = open_event(ground)
    people = crew(event)
    day = Day(event, people)
    clock.forward(days_before(1.2))
    assert why_not(day.here, people[0]) == ["not_on_its_day"]


def test_numbers_for_collections_are_taken_along_and_never_repeat(ready):
    ready.go()
    block = ready.sheet().block
    assert (block.team, block.first_no, block.last_no) == ("Palouse", 1, 10)
    following = act(lambda s: s.collections.take_block("Palouse", ready.event, None))
    assert (following.first_no, following.last_no) == (11, 20)


def test_the_clock_of_the_crew_counts_walk_out_and_minutes_to_signal(ready):
    sheet = ready.sheet()
    assert sheet.back_at - sheet.event.ends_at == timedelta(minutes=60)  # the default walk-out
    assert sheet.clock_at == sheet.back_at


class TestWithAMinor:
    """A minor is placed by hand: consent and screening are facts of other tables."""

    @pytest.fixture
    def day(self, ready):
        [minor] = add_people(1, name="Teo Marsh", born_on=date(2011, 5, 1))

        act(lambda s: _place(s, ready.event, minor))
        act(
            lambda s: s.unit.insert(
                guardian, person=minor, name="Keiko Marsh", address="keiko@example.org",
                phone="", from_on=date(2027, 1, 1),
            )
        )  # fmt: skip
        ready.minor = minor
        return ready

    def test_a_minor_stops_the_crew_without_two_screened_adults_and_a_consent(self, day):
        codes = {f.reason.code for f in crewcheck.check(TEST, day.event).stops}
        assert {"two_adults_missing", "guardian_consent_lacks"} <= codes

    def test_a_minor_is_home_only_when_handed_over_to_who_may_fetch(self, day):
        act(lambda s: _count_out(s, day))
        assert day.count("in", *day.people, day.minor) == 0
        assert why_not(fieldday.finish, day.lead, day.event, "collected") == [
            "minor_not_handed_over"
        ]
        assert why_not(day.count, "handed_over", day.minor) == ["handed_over_to_nobody"]
        assert why_not(day.count, "handed_over", day.minor, to_whom="A stranger") == [
            "may_not_fetch"
        ]
        day.count("handed_over", day.minor, to_whom="Keiko Marsh")
        fieldday.finish(day.lead, day.event, "collected")
        assert stage(day.event) == "done"


def _place(store, event, person):
    store.events.locked(event)
    store.spots.add(event, person, Role.CREW_MEMBER, SpotState.PLACED)
    store.spots.recount(event)


def _count_out(store, day):
    """Bring the event under way past the checks, to look at the way home alone."""
    rows = store.spots.of_event(day.event)
    for row in rows:
        store.spots.change(row, SpotState.CAME)
    store.counts.add(day.event, [r.id for r in rows], Way.OUT)
    store.events.set_stage(day.event, Stage.UNDER_WAY)
