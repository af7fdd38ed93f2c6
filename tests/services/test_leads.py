"""Asking leads: ranked with reasons, the first yes wins exactly once, on both databases."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta

import pytest

from roster.domain.errors import Conflict, NotAllowed, RuleBroken
from roster.domain.matching import Rung
from roster.domain.people import Role
from roster.services import events, lead_ranking, leads
from roster.services.clock import SetClock
from roster.store.models.people import held
from roster.store.transaction import read
from tests.support.crews import TEST, act, add_people, as_person, open_event, states, taken
from tests.support.land import EVENT_DAY, Land, land
from tests.support.leads import FAR, NEAR, a_lead, is_away, knows

pytestmark = pytest.mark.usefixtures("both")


def names(found):
    return [m.candidate.name for m in found.matches]


def asks(event):
    return {a.person: a.state for a in read(lambda store: store.leads.asks(event))}


@pytest.fixture
def ground() -> Land:
    return land()


@pytest.fixture
def event(ground: Land) -> int:
    return open_event(ground)


def test_leads_come_ranked_with_reasons(ground, event):
    ana, gus = a_lead("Ana", NEAR, Role.FIRST_AIDER), a_lead("Gus", FAR)
    knows(ana, ground)
    found = lead_ranking.ranked(TEST, event)
    assert names(found) == ["Ana", "Gus"]
    first, second = found.matches
    assert [r.code for r in first.for_] == [
        "knows_taxon", "is_first_aider", "is_nearest", "none_this_month",
    ]  # fmt: skip
    assert [r.code for r in second.against] == ["does_not_know_taxon"]
    assert (first.candidate.km_band, first.candidate.person) == ((0, 10), ana)
    assert second.candidate.person == gus
    assert (found.cleared, found.not_cleared, found.ladder) == (2, 0, ())


def test_who_is_away_busy_or_out_of_reach_is_left_out_and_counted(ground, event):
    a_lead("Ana")
    is_away(a_lead("Away"), EVENT_DAY, EVENT_DAY + timedelta(days=1))
    a_lead("Weekdays only", weekdays=0b0011111)  # 20 June 2027 is a Sunday
    a_lead("Far", FAR, minutes_drive=60)
    busy = a_lead("Busy")
    other = open_event(ground)
    leads.agree_for(TEST, other, busy)
    found = lead_ranking.ranked(TEST, event)
    assert names(found) == ["Ana"]
    assert found.left_out == {Rung.NOT_FREE: 3, Rung.OUT_OF_REACH: 1}


def test_a_person_away_until_the_day_before_is_free(event):
    is_away(a_lead("Back"), EVENT_DAY - timedelta(days=3), EVENT_DAY)
    assert names(lead_ranking.ranked(TEST, event)) == ["Back"]


def test_nobody_to_ask_is_explained_rung_by_rung(event):
    assert [r.code for r in lead_ranking.ranked(TEST, event).ladder] == ["nobody_ever_cleared"]
    is_away(a_lead("Away"), EVENT_DAY, EVENT_DAY + timedelta(days=1))
    found = lead_ranking.ranked(TEST, event)
    assert [(r.code, r.facts["name"]) for r in found.ladder] == [("cleared_not_free", "Away")]


def test_asking_needs_somebody_cleared_on_the_day(event):
    [crew_only] = add_people(1)
    with pytest.raises(RuleBroken) as caught:
        leads.ask(TEST, event, crew_only)
    assert caught.value.reasons[0].code == "lead_not_cleared_then"
    assert asks(event) == {}


def test_the_first_yes_wins_and_the_others_are_told_it_is_over(event):
    ana, wren = a_lead("Ana"), a_lead("Wren")
    leads.ask(TEST, event, ana)
    leads.ask(TEST, event, wren)
    leads.agree(as_person(wren), event)
    assert asks(event) == {ana: "lapsed", wren: "agreed"}
    assert (states(event), taken(event)) == ({wren: "placed"}, 1)
    with pytest.raises(Conflict):
        leads.agree(as_person(ana), event)
    assert asks(event) == {ana: "lapsed", wren: "agreed"}


def test_saying_yes_twice_is_one_yes(event):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    leads.agree(as_person(ana), event)
    assert leads.agree(as_person(ana), event) == event
    assert taken(event) == 1


def test_who_was_not_asked_cannot_say_yes(event):
    with pytest.raises(NotAllowed):
        leads.agree(as_person(a_lead("Ana")), event)


def test_a_no_takes_the_person_off_the_list(event):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    leads.decline(as_person(ana), event)
    found = lead_ranking.ranked(TEST, event)
    assert (names(found), found.left_out) == ([], {Rung.SAID_NO: 1})
    with pytest.raises(RuleBroken):
        leads.decline(as_person(ana), event)


def test_the_same_person_is_asked_once(event):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    with pytest.raises(RuleBroken) as caught:
        leads.ask(TEST, event, ana)
    assert caught.value.reasons[0].code == "asked_already"


def test_an_answer_after_its_time_does_not_count(event, clock: SetClock):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    until = read(lambda store: store.leads.asks(event))[0].until
    clock.at = until
    with pytest.raises(Conflict):
        leads.agree(as_person(ana), event)
    clock.at = until - timedelta(seconds=1)
    leads.agree(as_person(ana), event)


def test_a_lead_who_no_longer_is_cleared_cannot_say_yes(event):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    act(lambda s: s.unit.run(held.update().where(held.c.root == ana).values(until_on=EVENT_DAY)))
    with pytest.raises(RuleBroken):
        leads.agree(as_person(ana), event)
    assert asks(event) == {ana: "asked"}


def test_a_lead_is_swapped_in_one_act(event):
    ana, wren = a_lead("Ana"), a_lead("Wren")
    leads.agree_for(TEST, event, ana)
    leads.swap(TEST, event, wren, "first-aid card lapsed")
    assert asks(event) == {ana: "replaced", wren: "agreed"}
    assert states(event) == {ana: "withdrawn", wren: "placed"}


def test_a_role_that_was_freed_can_be_asked_for_again(event):
    ana, wren = a_lead("Ana"), a_lead("Wren")
    leads.agree_for(TEST, event, ana)
    leads.replace(TEST, event, "ill")
    assert taken(event) == 0
    leads.ask(TEST, event, wren)
    leads.agree(as_person(wren), event)
    assert asks(event) == {ana: "replaced", wren: "agreed"}


def test_lead_and_data_collector_are_two_asks(event):
    ana = a_lead("Ana")
    [mina] = add_people(1, Role.DATA_COLLECTOR, name="Mina")
    leads.agree_for(TEST, event, ana)
    leads.agree_for(TEST, event, mina, Role.DATA_COLLECTOR)
    assert asks(event) == {ana: "agreed", mina: "agreed"}
    assert taken(event) == 2


def test_the_yes_makes_the_day_busy_and_calling_off_frees_it(event, ground):
    ana = a_lead("Ana")
    other = open_event(ground)
    leads.agree_for(TEST, event, ana)
    assert lead_ranking.ranked(TEST, other).left_out == {Rung.NOT_FREE: 1}
    events.call_off(TEST, event, "smoke")
    assert names(lead_ranking.ranked(TEST, other)) == ["Ana"]


def test_calling_off_ends_the_open_questions(event):
    ana = a_lead("Ana")
    leads.ask(TEST, event, ana)
    events.call_off(TEST, event, "smoke")
    assert asks(event) == {ana: "lapsed"}
    with pytest.raises(Conflict):
        leads.agree(as_person(ana), event)


def test_the_load_of_a_month_and_close_events_speak_against(ground):
    ana = a_lead("Ana", per_month=2)
    knows(ana, ground)
    for day in (18, 19):
        leads.agree_for(TEST, open_event(ground, day=date(2027, 6, day)), ana)
    event = open_event(ground)
    [match] = lead_ranking.ranked(TEST, event).matches
    against = [r.code for r in match.against]
    assert against == ["over_month", "event_the_day_before", "many_in_a_row"]
    assert match.candidate.load == 2


def test_the_ranking_asks_a_fixed_number_of_statements(ground, event):
    from sqlalchemy import event as happening

    from roster.store.base import db

    def statements():
        seen = []
        listen = lambda *args: seen.append(args[2])  # noqa: E731
        happening.listen(db.engine, "before_cursor_execute", listen)
        lead_ranking.ranked(TEST, event)
        happening.remove(db.engine, "before_cursor_execute", listen)
        return len(seen)

    a_lead("Ana")
    few = statements()
    for n in range(20):
        a_lead(f"Lead {n}")
    assert statements() == few


def test_of_six_who_say_yes_at_once_exactly_one_leads(both, event):
    asked = [a_lead(f"Lead {n}") for n in range(6)]
    for number in asked:
        leads.ask(TEST, event, number)

    def say_yes(number):
        with both.app_context():
            try:
                leads.agree(as_person(number), event)
            except Conflict:
                return False
            return True

    with ThreadPoolExecutor(6) as crowd:
        won = list(crowd.map(say_yes, asked))
    assert won.count(True) == 1
    winner = asked[won.index(True)]
    assert asks(event) == {n: "agreed" if n == winner else "lapsed" for n in asked}
    assert (states(event), taken(event)) == ({winner: "placed"}, 1)
