"""Cleared or not, with every reason. Papers: FWS 150 FW 2, NPS RM-7 ch. 5."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.clearance import PersonFacts, Withheld, WithheldKind, intervals, verdict
from roster.domain.people import Role
from roster.domain.training import (
    Exemption,
    StepVersion,
    TrackStep,
    TrackVersion,
)
from tests.support.standing import (
    RELEASE,
    done,
    guardian_papers,
    paper_step,
    person,
    rules,
    signed,
    step,
    track,
)

DAY = date(2027, 6, 20)
ETHICS, FIELD, AID = step(1), step(2, "Field day", validity="P2Y"), step(3, "First-aid card")
SIGNED = paper_step(4, RELEASE)
CREW = track(Role.CREW_MEMBER, [ETHICS, SIGNED], 16, youngest_with_guardian=14)
LEAD = track(Role.LEAD, [ETHICS, FIELD, AID, SIGNED])
RULES = rules(CREW, LEAD)
READY = {
    "finished": (
        done(1, date(2026, 3, 1)),
        done(2, date(2026, 5, 1)),
        done(3, date(2026, 1, 1), own_until=date(2027, 6, 19)),
    ),
    "signatures": (signed(RELEASE, date(2027, 1, 1)),),
}


def codes(facts: PersonFacts, role: Role, day: date = DAY, **more: bool) -> list[str]:
    return [r.code for r in verdict(facts, role, day, None, **more).reasons]


def test_a_card_holds_on_its_last_valid_day_and_not_on_the_day_after() -> None:
    facts = person(RULES, **READY)
    yes = verdict(facts, Role.LEAD, date(2027, 6, 19))
    no = verdict(facts, Role.LEAD, DAY)
    assert (yes.yes, yes.until, yes.reasons) == (True, date(2027, 6, 19), ())
    assert (no.yes, no.until) == (False, None)
    (reason,) = no.reasons
    assert (reason.code, reason.facts["last_day"]) == ("step_lapsed", date(2027, 6, 19))
    assert [s.name for s in no.next_steps] == ["First-aid card"]


def test_every_reason_is_given_in_the_order_of_the_track() -> None:
    facts = person(RULES)
    reasons = verdict(facts, Role.LEAD, DAY).reasons
    assert [(r.code, r.facts.get("step", r.facts.get("paper"))) for r in reasons] == [
        ("step_missing", "Seed ethics"),
        ("step_missing", "Field day"),
        ("step_missing", "First-aid card"),
        ("paper_missing", "release"),
    ]


def test_a_role_without_a_track_clears_nobody() -> None:
    assert codes(person(RULES, **READY), Role.DRIVER) == ["no_track"]
    assert intervals(person(RULES, **READY), Role.DRIVER) == []


@pytest.mark.parametrize(
    ("day", "yes"),
    [(date(2027, 6, 19), False), (date(2027, 6, 20), True)],
    ids=["day before the 18th birthday", "18th birthday"],
)
def test_the_youngest_age_is_judged_on_the_day_of_the_event(day: date, yes: bool) -> None:
    own = (signed(RELEASE, date(2027, 6, 20)), *guardian_papers(date(2027, 1, 1)))
    facts = person(
        RULES,
        date(2009, 6, 20),
        finished=(*READY["finished"][:2], done(3, date(2027, 1, 1))),
        signatures=own,
    )
    found = verdict(facts, Role.LEAD, day)
    assert found.yes is yes
    if not yes:
        assert [(r.code, r.facts["from_on"]) for r in found.reasons] == [
            ("too_young", date(2027, 6, 20))
        ]


def test_a_minor_of_17_is_never_cleared_to_lead_but_may_be_on_a_crew() -> None:
    facts = person(
        RULES,
        date(2010, 3, 1),
        finished=READY["finished"],
        signatures=guardian_papers(date(2027, 5, 1)),
    )
    assert "too_young" in codes(facts, Role.LEAD)
    crew = verdict(facts, Role.CREW_MEMBER, DAY)
    assert (crew.yes, crew.until) == (True, date(2028, 2, 29))


def test_under_16_a_person_comes_only_with_the_own_guardian_there() -> None:
    facts = person(
        RULES,
        date(2012, 3, 1),
        finished=READY["finished"],
        signatures=guardian_papers(date(2027, 5, 1)),
    )
    assert codes(facts, Role.CREW_MEMBER) == ["too_young_alone"]
    assert codes(facts, Role.CREW_MEMBER, guardian_there=True) == []
    younger = replace(facts, born_on=date(2013, 6, 21))
    assert codes(younger, Role.CREW_MEMBER, guardian_there=True) == ["too_young"]


def test_an_unknown_age_is_a_no() -> None:
    assert codes(person(RULES, None, **READY), Role.CREW_MEMBER) == ["age_unknown"]


def test_turning_18_ends_the_guardians_word_and_asks_for_an_own_release() -> None:
    facts = person(
        RULES,
        date(2009, 6, 20),
        finished=READY["finished"],
        signatures=guardian_papers(date(2027, 1, 1)),
    )
    assert verdict(facts, Role.CREW_MEMBER, date(2027, 6, 19)).until == date(2027, 6, 19)
    assert codes(facts, Role.CREW_MEMBER, date(2027, 6, 20)) == ["paper_missing"]


@pytest.mark.parametrize(
    ("day", "found"),
    [
        (date(2027, 5, 31), []),
        (date(2027, 6, 1), ["role_suspended_until"]),
        (date(2027, 6, 9), ["role_suspended_until"]),
        (date(2027, 6, 10), []),
    ],
    ids=["before", "first day", "last day", "given back"],
)
def test_a_suspension_holds_from_a_day_and_leaves_the_past_alone(
    day: date, found: list[str]
) -> None:
    held_back = Withheld(role=Role.LEAD, kind=WithheldKind.SUSPENDED,
                         from_on=date(2027, 6, 1), until_on=date(2027, 6, 10))  # fmt: skip
    facts = person(RULES, withheld=(held_back,), **READY)
    assert codes(facts, Role.LEAD, day) == found
    assert codes(facts, Role.CREW_MEMBER, day) == []


def test_a_revocation_of_every_role_has_no_end() -> None:
    revoked = Withheld(role=None, kind=WithheldKind.REVOKED, from_on=date(2027, 6, 1))
    facts = person(RULES, withheld=(revoked,), **READY)
    assert codes(facts, Role.CREW_MEMBER, date(2035, 1, 1))[0] == "role_revoked"
    assert intervals(facts, Role.CREW_MEMBER) == [(date(2027, 1, 1), date(2027, 6, 1))]


def test_a_step_needed_from_a_day_is_not_missed_before() -> None:
    later = track(Role.LEAD, [ETHICS, TrackStep(step(9, "New lesson"), date(2027, 6, 20))])
    facts = person(rules(later), **READY)
    assert codes(facts, Role.LEAD, date(2027, 6, 19)) == []
    assert codes(facts, Role.LEAD, date(2027, 6, 20)) == ["step_missing"]


def test_only_steps_whose_prerequisites_hold_are_next() -> None:
    after = replace(step(7, "One field record"), needs=frozenset({1}))
    facts = person(rules(track(Role.LEAD, [ETHICS, after])))
    assert [s.id for s in verdict(facts, Role.LEAD, DAY).next_steps] == [1]
    begun = replace(facts, finished=(done(1, date(2027, 1, 1)),))
    assert [s.id for s in verdict(begun, Role.LEAD, DAY).next_steps] == [7]


def test_a_recorded_exemption_stands_for_the_step_on_its_days() -> None:
    exempt = Exemption(step=1, from_on=date(2027, 6, 1), until_on=date(2027, 7, 1))
    facts = person(rules(track(Role.LEAD, [ETHICS])), exemptions=(exempt,))
    assert codes(facts, Role.LEAD, date(2027, 6, 30)) == []
    assert codes(facts, Role.LEAD, date(2027, 7, 1)) == ["step_missing"]


def test_the_steps_asked_are_those_of_the_version_in_force_that_day() -> None:
    first = TrackVersion(n=1, from_on=date(2020, 1, 1), steps=(TrackStep(ETHICS),))
    second = TrackVersion(n=2, from_on=DAY, steps=(TrackStep(ETHICS), TrackStep(FIELD)))
    changed = replace(LEAD, versions=(first, second))
    facts = person(rules(changed), finished=(done(1, date(2026, 3, 1)),))
    assert verdict(facts, Role.LEAD, DAY - timedelta(days=1)).yes
    assert codes(facts, Role.LEAD, DAY) == ["step_missing"]
    assert codes(facts, Role.LEAD, date(2019, 12, 31)) == ["no_track"]


def test_of_two_tracks_to_a_role_the_nearer_one_answers() -> None:
    other = replace(track(Role.LEAD, [FIELD, AID]), id=2, code="short")
    facts = person(rules(LEAD, other), finished=READY["finished"])
    assert codes(facts, Role.LEAD, date(2027, 6, 1)) == []
    assert codes(facts, Role.LEAD, DAY) == ["step_lapsed"]


def test_a_person_who_has_left_is_not_cleared() -> None:
    facts = person(RULES, has_left=True, **READY)
    assert codes(facts, Role.CREW_MEMBER) == ["person_left"]
    assert intervals(facts, Role.CREW_MEMBER) == []


NOON = datetime(2027, 6, 1, 12, tzinfo=UTC)


def test_a_step_recorded_later_was_not_known_before() -> None:
    late = (done(1, date(2026, 3, 1), recorded_at=NOON),)
    facts = person(rules(track(Role.LEAD, [ETHICS])), finished=late)
    before = verdict(facts, Role.LEAD, date(2027, 5, 1), NOON - timedelta(seconds=1))
    after = verdict(facts, Role.LEAD, date(2027, 5, 1), NOON)
    assert (before.yes, after.yes) == (False, True)


def test_a_voided_step_counts_for_what_was_known_before_the_voiding() -> None:
    voided = (done(1, date(2026, 3, 1), recorded_at=NOON - timedelta(days=9), ended_at=NOON),)
    facts = person(rules(track(Role.LEAD, [ETHICS])), finished=voided)
    before = verdict(facts, Role.LEAD, DAY, NOON - timedelta(seconds=1))
    after = verdict(facts, Role.LEAD, DAY, NOON)
    assert (before.yes, after.yes) == (True, False)
    assert not verdict(facts, Role.LEAD, DAY).yes


def test_rules_too_are_those_that_were_known_then() -> None:
    newer = StepVersion(n=2, from_on=date(2027, 1, 1), renews=True, recorded_at=NOON)
    renewed = replace(ETHICS, versions=(*ETHICS.versions, newer))
    facts = person(rules(track(Role.LEAD, [renewed])), finished=(done(1, date(2026, 3, 1)),))
    assert verdict(facts, Role.LEAD, DAY, NOON - timedelta(seconds=1)).yes
    assert not verdict(facts, Role.LEAD, DAY, NOON).yes
