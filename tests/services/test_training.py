"""Steps, tracks and finished steps through the use cases, on both databases."""

from datetime import date

import pytest
from flask import Flask

from roster.domain.errors import BadInput, NotAllowed, NotFound, RuleBroken
from roster.domain.people import Role
from roster.domain.training import StepKind
from roster.services import clearance, training
from roster.services.training import Detail, NewStep, NewTrack, StepRules
from roster.store.transaction import read
from tests.support.trained import CLI, TODAY, adult, as_person, cleared_lead, programme, sign

DAY = date(2027, 6, 20)


def yes(number: int, role: Role, day: date = DAY) -> bool:
    return clearance.cleared(CLI, number, role, day).verdict.yes


def test_the_last_step_clears_the_person_and_fills_the_table(both: Flask) -> None:
    made = programme()
    number = adult()
    sign(number, made, "release", date(2027, 5, 1))
    assert read(lambda store: store.held.of(number)) == []
    training.record_completion(CLI, number, "ethics", date(2027, 5, 4))
    (row,) = read(lambda store: store.held.of(number))
    assert (row.role, row.from_on, row.until_on) == (
        "crew_member", date(2027, 5, 4), date(2028, 5, 1)
    )  # fmt: skip


def test_voiding_takes_the_clearance_and_keeps_what_was_known(both: Flask, clock: object) -> None:
    made = programme()
    number = adult()
    sign(number, made, "release", date(2027, 5, 1))
    record = training.record_completion(CLI, number, "ethics", date(2027, 5, 4))
    before = read(lambda store: store.unit.at)
    clock.forward(_hour())  # type: ignore[attr-defined]
    training.void_completion(CLI, record, "the wrong person")
    assert not yes(number, Role.CREW_MEMBER)
    then = clearance.cleared(CLI, number, Role.CREW_MEMBER, DAY, before)
    assert then.verdict.yes
    with pytest.raises(RuleBroken) as refused:
        training.void_completion(CLI, record, "again")
    assert refused.value.reasons[0].code == "already_ended"


def _hour() -> object:
    from datetime import timedelta

    return timedelta(hours=1)


def test_what_a_person_reports_waits_for_a_coordinator_where_the_step_says_so(
    both: Flask,
) -> None:
    made = programme()
    number = adult()
    sign(number, made, "release", date(2027, 5, 1))
    me = as_person(number)
    training.record_completion(me, number, "ethics", date(2027, 5, 4))
    assert yes(number, Role.CREW_MEMBER)
    training.record_completion(me, number, "field_day", date(2027, 5, 5))
    card = training.record_completion(me, number, "aid", date(2027, 5, 6))
    reasons = clearance.cleared(CLI, number, Role.LEAD, DAY).verdict.reasons
    assert {r.code for r in reasons} == {"step_unconfirmed"}
    with pytest.raises(NotAllowed):
        training.confirm_completion(me, card)
    for row in read(lambda store: store.training.completions_of([number])):
        training.confirm_completion(CLI, row.id)
    assert yes(number, Role.LEAD)


@pytest.mark.parametrize(
    ("code", "done_on", "detail", "reason"),
    [
        ("ethics", date(2027, 6, 17), Detail(), "done_in_future"),
        ("ethics", date(1990, 4, 30), Detail(), "done_before_birth"),
        ("aid", date(2027, 5, 1), Detail(own_until=date(2027, 4, 30)), "own_end_before_done"),
        ("ethics", date(2027, 5, 1), Detail(score=101), "score_out_of_range"),
        ("signed", date(2027, 5, 1), Detail(), "step_is_signed"),
    ],
)
def test_a_record_that_cannot_be_true_is_refused(
    app: Flask, code: str, done_on: date, detail: Detail, reason: str
) -> None:
    programme()
    number = adult()
    with pytest.raises(BadInput) as refused:
        training.record_completion(CLI, number, code, done_on, detail)
    assert refused.value.reason.code == reason
    assert read(lambda store: store.training.completions_of([number])) == []


def test_a_step_waits_for_those_before_it(both: Flask) -> None:
    programme()
    number = adult()
    with pytest.raises(RuleBroken) as refused:
        training.record_completion(CLI, number, "field_day", date(2027, 5, 5))
    (reason,) = refused.value.reasons
    assert (reason.code, reason.facts["needs"]) == ("prerequisite_missing", "Seed ethics")


def test_the_day_of_today_may_be_recorded(both: Flask) -> None:
    programme()
    number = adult()
    assert training.record_completion(CLI, number, "ethics", TODAY) > 0


def test_an_unknown_step_or_person_is_not_found(app: Flask) -> None:
    programme()
    number = adult()
    with pytest.raises(NotFound):
        training.record_completion(CLI, number, "juggling", TODAY)
    with pytest.raises(NotFound):
        training.record_completion(CLI, number + 1, "ethics", TODAY)


def test_a_renewed_step_unclears_everybody_from_its_first_day(both: Flask) -> None:
    number = cleared_lead(programme())
    training.renew_step(CLI, "ethics", date(2027, 7, 1), StepRules(renews=True))
    assert yes(number, Role.LEAD, date(2027, 6, 30))
    assert not yes(number, Role.LEAD, date(2027, 7, 1))
    assert clearance.verify(CLI).differing == ()


def test_other_steps_of_a_track_hold_from_their_day_only(both: Flask) -> None:
    number = cleared_lead(programme())
    new = NewStep("radio", "Radio lesson", StepKind.LESSON, from_on=date(2027, 1, 1))
    training.define_step(CLI, new)
    training.change_track(CLI, "lead", date(2027, 7, 1), ("ethics", "radio"))
    assert yes(number, Role.LEAD, date(2027, 6, 30))
    found = clearance.cleared(CLI, number, Role.LEAD, date(2027, 7, 1)).verdict
    assert [r.code for r in found.reasons] == ["step_missing"]


def test_an_exemption_stands_for_a_step_until_its_day(both: Flask) -> None:
    made = programme()
    number = adult()
    sign(number, made, "release", date(2027, 5, 1))
    days = (date(2027, 6, 1), date(2027, 7, 1))
    training.exempt(CLI, number, "ethics", days, "taught it for years")
    assert yes(number, Role.CREW_MEMBER, date(2027, 6, 30))
    assert not yes(number, Role.CREW_MEMBER, date(2027, 7, 1))


@pytest.mark.parametrize(
    ("steps", "code"),
    [((), "track_without_steps"), (("ethics", "ethics"), "step_twice"), (("x",), "not_found")],
)
def test_a_track_names_each_of_its_steps_once(
    app: Flask, steps: tuple[str, ...], code: str
) -> None:
    programme()
    with pytest.raises(BadInput) as refused:
        training.define_track(CLI, NewTrack("new", "New", Role.DRIVER, 21, steps))
    assert refused.value.reason.code == code


def test_the_table_is_rebuilt_to_what_it_was(both: Flask) -> None:
    made = programme()
    numbers = [cleared_lead(made, f"Lead {n}") for n in range(3)]
    kept = read(lambda store: store.held.of_many(numbers))
    assert clearance.rebuild(CLI) == len(kept) == 6
    assert read(lambda store: store.held.of_many(numbers)) == kept


def test_verify_finds_and_mends_a_row_that_is_not_by_the_facts(both: Flask) -> None:
    from tests.support.crews import act

    number = cleared_lead(programme())
    act(lambda store: store.held.replace([number], []))
    found = clearance.verify(CLI)
    assert (found.differing, found.mended) == ((number,), True)
    assert clearance.verify(CLI).differing == ()


def test_verdicts_for_many_take_no_more_statements_than_for_one(both: Flask) -> None:
    made = programme()
    numbers = [cleared_lead(made, f"Lead {n}") for n in range(5)]

    def asked(some: list[int]) -> int:
        def body(store: object) -> int:
            count = 0
            run = store.unit.run  # type: ignore[attr-defined]

            def counted(*args: object) -> object:
                nonlocal count
                count += 1
                return run(*args)

            store.unit.run = counted  # type: ignore[attr-defined]
            found = clearance.verdicts_in(store, some, list(Role), DAY)  # type: ignore[arg-type]
            assert len(found) == len(some) * len(Role)
            return count

        return read(body)

    assert asked(numbers) == asked(numbers[:1])
