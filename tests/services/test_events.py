"""Use cases of events, on both databases."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from roster.domain.errors import BadInput, NotFound, RuleBroken
from roster.domain.events import DateState, EventKind, Stage
from roster.services import event_changes, events, landcheck, places
from roster.services.event_changes import EventChange
from roster.services.event_lists import EventFilter, EventSort, events_page
from roster.services.places import NewClosure
from roster.store.transaction import read
from tests.support.land import ACTOR, EVENT_DAY, add_site, land, new_event, permit

pytestmark = pytest.mark.usefixtures("both")


def one(number):
    return read(lambda store: store.events.row(number))


def verbs(number):
    return read(lambda store: [line.verb for line in store.journal.of("event", number)])


def revisions(number):
    from sqlalchemy import select

    from roster.store.models.events import event_revision as r

    query = select(r.c.n, r.c.sequence, r.c.stage, r.c.why).where(r.c.event == number)
    return read(lambda store: [tuple(x) for x in store.unit.run(query.order_by(r.c.n))])


def test_a_new_event_is_a_draft_with_local_time_zone_and_utc():
    ground = land()
    row = one(events.create_event(ACTOR, new_event(ground)))
    assert (row.stage, row.date_state, row.title) == (
        "draft",
        "fixed",
        "Arrowleaf balsamroot at Marrow Butte",
    )
    assert row.local_start == datetime.fromisoformat("2027-06-20 07:00")
    assert row.starts_at == datetime.fromisoformat("2027-06-20 14:00Z")
    assert (row.day, row.last_day, row.n, row.sequence) == (EVENT_DAY, EVENT_DAY, 1, 0)
    assert verbs(row.id) == ["created"]


@pytest.mark.parametrize(("signal", "minimum"), [(0, 3), (1, 4)])
def test_the_smallest_crew_is_three_with_coverage_and_four_without(signal, minimum):
    # common practice, no source
    ground = land(minutes_to_signal=signal)
    row = one(events.create_event(ACTOR, new_event(ground)))
    assert (row.minimum_crew, bool(row.coverage)) == (minimum, signal == 0)


def test_a_repeated_form_makes_one_event():
    ground = land()
    first = events.create_event(ACTOR, new_event(ground), "op-1")
    assert events.create_event(ACTOR, new_event(ground), "op-1") == first
    assert read(lambda store: store.events.highest()) == first


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"populations": ()}, "populations"),
        ({"populations": (4711,)}, "population"),
        ({"capacity": 0}, "capacity"),
        ({"local_end": datetime.fromisoformat("2027-06-20 06:00")}, "local_end"),
        (
            {
                "local_start": datetime.fromisoformat("2028-06-20 07:00"),
                "local_end": datetime.fromisoformat("2028-06-20 12:00"),
            },
            "local_start",
        ),
    ],
    ids=["no population", "unknown population", "no spots", "end first", "no season"],
)
def test_a_bad_event_is_refused_by_its_field_and_nothing_is_kept(changed, field):
    ground = land()
    with pytest.raises(BadInput) as caught:
        events.create_event(ACTOR, new_event(ground, **changed))
    assert caught.value.field == field
    assert read(lambda store: store.events.highest()) == 0


def test_a_population_of_another_site_is_refused():
    ground = land()
    other = add_site(ground.region, name="Saddle Lake")
    with pytest.raises(BadInput) as caught:
        events.create_event(ACTOR, new_event(ground, site=other))
    assert caught.value.reason.code == "population_elsewhere"


def test_a_draft_opens_where_the_land_allows_it_and_a_revision_is_kept():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    events.open_event(ACTOR, number)
    assert one(number).stage == "open"
    assert verbs(number)[0] == "opened"
    assert revisions(number) == [(1, 0, "draft", "created"), (2, 1, "open", "opened")]


@pytest.mark.parametrize(
    ("day", "code"),
    [
        (date(2027, 7, 31), None),
        (date(2027, 8, 1), "permission_not_in_force"),
    ],
    ids=["last day of the permission", "the day after"],
)
def test_an_event_opens_only_within_the_permission(day, code):
    # BLM native-seed technical protocol, section 6
    ground = land()
    number = events.create_event(ACTOR, new_event(ground, day))
    if code is None:
        events.open_event(ACTOR, number)
        return
    with pytest.raises(RuleBroken) as caught:
        events.open_event(ACTOR, number)
    assert [r.code for r in caught.value.reasons] == [code]
    assert one(number).stage == "draft"


def test_a_closure_stops_an_event_and_its_end_lets_it_go():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    start = one(number).starts_at
    places.add_closure(ACTOR, NewClosure("fire", start - timedelta(days=1), site=ground.site))
    with pytest.raises(RuleBroken) as caught:
        events.open_event(ACTOR, number)
    assert [r.code for r in caught.value.reasons] == ["closed_until_lifted"]
    kept = read(lambda store: store.events.lines(EventFilter(None), offset=0, limit=9))
    assert kept[0][0].stops >= 1  # the summary was checked again when the closure was recorded


def test_no_reason_answers_for_a_closure():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    start = one(number).starts_at
    places.add_closure(ACTOR, NewClosure("fire", start - timedelta(days=1), site=ground.site))
    events.answer_for_stop(ACTOR, number, "closed_until_lifted", "the wind has turned")
    with pytest.raises(RuleBroken) as caught:
        events.open_event(ACTOR, number)
    assert [r.code for r in caught.value.reasons] == ["closed_until_lifted", "override_never"]


def test_calling_off_needs_a_reason_and_keeps_it():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    with pytest.raises(RuleBroken):
        events.call_off(ACTOR, number, "  ")
    events.call_off(ACTOR, number, "smoke")
    row = one(number)
    assert (row.stage, row.called_off_why) == ("called_off", "smoke")
    with pytest.raises(RuleBroken):
        events.call_off(ACTOR, number, "again")


def test_an_event_with_nobody_on_it_cannot_be_ready():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    events.open_event(ACTOR, number)
    with pytest.raises(RuleBroken) as caught:
        events.mark_ready(ACTOR, number)
    codes = {r.code for r in caught.value.reasons}
    assert {"lead_missing", "duty_person_missing", "stand_in_missing"} <= codes


def test_a_move_changes_both_times_and_the_revision():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    row = one(number)
    day = timedelta(days=2)
    wanted = EventChange(
        local_start=row.local_start + day, local_end=row.local_end + day, why="rain"
    )
    event_changes.change_event(ACTOR, number, wanted)
    moved = one(number)
    assert moved.day == EVENT_DAY + day
    assert moved.starts_at == row.starts_at + day
    assert (moved.n, moved.sequence) == (2, 1)
    assert verbs(number)[0] == "moved"


def test_a_change_that_nobody_needs_to_be_told_makes_no_revision():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    event_changes.change_event(ACTOR, number, EventChange(vehicles=2))
    assert one(number).n == 1
    assert verbs(number)[0] == "changed"


def test_a_called_off_event_cannot_be_changed():
    ground = land()
    number = events.create_event(ACTOR, new_event(ground))
    events.call_off(ACTOR, number, "smoke")
    with pytest.raises(RuleBroken):
        event_changes.change_event(ACTOR, number, EventChange(capacity=9))


def test_an_expected_window_is_fixed_to_one_of_its_days():
    ground = land()
    wanted = replace(
        new_event(ground),
        date_state=DateState.EXPECTED,
        local_end=datetime.fromisoformat("2027-06-28 12:30"),
    )
    number = events.create_event(ACTOR, wanted)
    start = datetime.fromisoformat("2027-06-29 07:00")
    with pytest.raises(BadInput):
        event_changes.fix_day(ACTOR, number, start, start + timedelta(hours=5))
    start -= timedelta(days=1)
    event_changes.fix_day(ACTOR, number, start, start + timedelta(hours=5))
    row = one(number)
    assert (row.date_state, row.day, row.last_day) == ("fixed", start.date(), start.date())
    with pytest.raises(RuleBroken):
        event_changes.fix_day(ACTOR, number, start, start + timedelta(hours=5))


def test_a_training_needs_no_permission_and_no_population():
    ground = land()
    other = add_site(ground.region, name="Town hall")
    wanted = new_event(ground, site=other, populations=(), kind=EventKind.TRAINING)
    number = events.create_event(ACTOR, wanted)
    assert read(lambda store: landcheck.findings_in(store, number)) == []
    events.open_event(ACTOR, number)
    assert read(lambda store: store.events.get(number)).stage is Stage.OPEN


def test_the_land_managers_ceiling_is_found():
    ground = land()
    permit(ground.site, [ground.taxon], people=8)
    number = events.create_event(ACTOR, new_event(ground))
    event = read(lambda store: store.events.get(number))
    assert read(lambda store: landcheck.most_people_in(store, event)) == 8


def test_a_list_is_filtered_sorted_and_paged_the_same_on_both_databases():
    ground = land()
    days = [EVENT_DAY + timedelta(days=n) for n in (3, 1, 2)]
    numbers = [events.create_event(ACTOR, new_event(ground, day)) for day in days]
    events.call_off(ACTOR, numbers[2], "smoke")
    page = events_page(ACTOR, EventFilter(None), 1)
    assert ([r.id for r in page.rows], page.total) == ([numbers[1], numbers[2], numbers[0]], 3)
    backwards = EventFilter(None, sort=EventSort.DAY, backwards=True)
    assert events_page(ACTOR, backwards, 1).rows[0].id == numbers[0]
    drafts = EventFilter(None, stages=("draft",), first=days[0])
    assert [r.id for r in events_page(ACTOR, drafts, 1).rows] == [numbers[0]]
    assert events_page(ACTOR, EventFilter([ground.other_region]), 1).total == 0
    assert events_page(ACTOR, EventFilter(None, search="marrow"), 1).total == 3
    assert events_page(ACTOR, EventFilter(None, search="nothing so"), 1).total == 0


def test_an_event_that_is_not_there_is_said_so():
    with pytest.raises(NotFound) as caught:
        events.open_event(ACTOR, 4711)
    assert caught.value.reason.facts["value"] == "4711"
