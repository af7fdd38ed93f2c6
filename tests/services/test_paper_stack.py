"""A stack of papers typed in at once, on both databases."""

from datetime import date, timedelta

import pytest

from roster.domain.errors import BadInput, NotAllowed
from roster.domain.paper_forms import PaperKind
from roster.domain.people import Role
from roster.services import clearance, demo, paper_stack, papers, people, training
from tests.support import small_programme
from tests.support.small_programme import OFFICE

SIGNED = date(2027, 4, 5)


@pytest.fixture
def stack(both) -> tuple[int, list[int]]:
    """A release that crews need, and three people who have handed theirs in."""
    small_programme.build()
    release = papers.NewForm(
        "release", PaperKind.RELEASE, "Release", "I take part of my own will.", "P12M",
        from_on=date(2027, 1, 1),
    )  # fmt: skip
    form = papers.put_form_in_force(OFFICE, release)
    step = training.NewStep("release", "Release", training.StepKind.PAPERS, paper="release")
    training.define_step(OFFICE, step)
    training.change_track(OFFICE, "crew_member", date(2027, 1, 1), ["release"])
    numbers = [
        people.add_person(
            OFFICE, people.NewPerson(f"Person {n}", f"p{n}@example.org", born_on=date(1990, 1, n))
        )
        for n in (1, 2, 3)
    ]
    return form, numbers


def is_cleared(person: int, day: date) -> bool:
    return clearance.cleared(OFFICE, person, Role.CREW_MEMBER, day).verdict.yes


def test_everybody_of_the_stack_is_cleared_to_the_day_before_the_anniversary(stack):
    form, numbers = stack
    assert not is_cleared(numbers[0], date(2027, 6, 16))
    assert paper_stack.record_stack(OFFICE, form, dict.fromkeys(numbers, SIGNED)) == 3
    assert all(is_cleared(n, date(2028, 4, 4)) for n in numbers)
    assert not any(is_cleared(n, date(2028, 4, 5)) for n in numbers)
    assert clearance.verify(OFFICE).differing == ()


def test_one_day_to_come_refuses_the_whole_stack(stack):
    form, numbers = stack
    signed = dict.fromkeys(numbers, SIGNED) | {numbers[2]: date(2027, 6, 17)}
    with pytest.raises(BadInput) as caught:
        paper_stack.record_stack(OFFICE, form, signed)
    assert (caught.value.field, caught.value.value) == ("signed_on", date(2027, 6, 17))
    assert not is_cleared(numbers[0], date(2027, 6, 16))


def test_a_day_before_the_form_was_in_force_is_refused(stack):
    form, numbers = stack
    early = date(2027, 1, 1) - timedelta(days=1)
    with pytest.raises(BadInput):
        paper_stack.record_stack(OFFICE, form, {numbers[0]: early})


def test_a_guardians_form_is_not_for_a_stack(stack):
    _form, numbers = stack
    consent = papers.NewForm(
        "consent", PaperKind.GUARDIAN_CONSENT, "Consent", "I allow it.", from_on=date(2027, 1, 1)
    )
    number = papers.put_form_in_force(OFFICE, consent)
    with pytest.raises(BadInput) as caught:
        paper_stack.record_stack(OFFICE, number, {numbers[0]: SIGNED})
    assert caught.value.field == "form"


def test_an_empty_stack_and_one_of_more_than_a_thousand_are_refused(stack):
    form, _numbers = stack
    for signed in ({}, dict.fromkeys(range(1, 1002), SIGNED)):
        with pytest.raises(BadInput) as caught:
            paper_stack.record_stack(OFFICE, form, signed)
        assert caught.value.field == "signed"


def test_a_volunteer_may_not_type_in_a_stack(stack):
    form, numbers = stack
    with pytest.raises(NotAllowed):
        paper_stack.record_stack(demo.acting(numbers[0]), form, {numbers[1]: SIGNED})
