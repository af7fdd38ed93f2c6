"""Papers through the use cases, on both databases. Rules: FWS 150 FW 2; 16 CFR 312.5(b)(2)(vi)."""

from datetime import date

import pytest
from flask import Flask

from roster.domain.errors import BadInput, NotAllowed
from roster.domain.paper_forms import PaperKind, SecondWay
from roster.domain.people import Role
from roster.services import clearance, papers, people, standing
from roster.services.papers import NewForm, NewSignature
from roster.services.people import NewPerson
from roster.store.transaction import read
from tests.support.trained import (
    CLI,
    START,
    TODAY,
    Programme,
    adult,
    as_person,
    cleared_lead,
    minor,
    programme,
    sign,
)

DAY = date(2027, 6, 20)


def codes(number: int, role: Role = Role.CREW_MEMBER, day: date = DAY) -> list[str]:
    return [r.code for r in clearance.cleared(CLI, number, role, day).verdict.reasons]


def young(made: Programme) -> tuple[int, int]:
    number = people.add_person(CLI, NewPerson("Bea Lindqvist", born_on=date(2010, 3, 1)))
    return number, standing.add_guardian(CLI, number, "Olle Lindqvist", "olle@example.org")


def test_a_minor_is_cleared_only_after_the_guardians_second_sign(both: Flask) -> None:
    made = programme()
    number, guardian = young(made)
    consent = sign(number, made, "consent", date(2027, 6, 1), guardian)
    sign(number, made, "care", date(2027, 6, 1), guardian)
    assert "guardian_consent_one_sign" in codes(number)
    papers.record_second_sign(CLI, consent, SecondWay.LATER_MAIL, date(2027, 6, 2))
    assert codes(number) == ["step_missing"]


@pytest.mark.parametrize(
    ("way", "on", "refused"),
    [
        (SecondWay.LATER_MAIL, date(2027, 6, 1), True),
        (SecondWay.LATER_MAIL, date(2027, 6, 2), False),
        (SecondWay.CALL, date(2027, 6, 1), False),
        (SecondWay.CALL, date(2027, 5, 31), True),
    ],
)
def test_a_second_mail_counts_on_a_later_day_a_call_on_the_same(
    app: Flask, way: SecondWay, on: date, refused: bool
) -> None:
    made = programme()
    number, guardian = young(made)
    consent = sign(number, made, "consent", date(2027, 6, 1), guardian)
    if refused:
        with pytest.raises(BadInput) as found:
            papers.record_second_sign(CLI, consent, way, on)
        assert found.value.reason.code == "second_sign_too_soon"
    else:
        assert papers.record_second_sign(CLI, consent, way, on) == number


def test_coming_of_age_cuts_the_table_and_asks_for_an_own_release(both: Flask) -> None:
    made = programme()
    number = minor(made, date(2009, 7, 4))
    (row,) = read(lambda store: store.held.of(number))
    assert row.until_on == date(2027, 7, 4)
    assert codes(number, day=date(2027, 7, 3)) == []
    assert codes(number, day=date(2027, 7, 4)) == ["paper_missing"]


def test_a_person_signs_an_own_paper_and_nobody_elses(both: Flask) -> None:
    made = programme()
    me, other = adult(), adult("Another One")
    new = NewSignature(made.forms["release"], TODAY)
    assert papers.record_signature(as_person(me), me, new) > 0
    with pytest.raises(NotAllowed):
        papers.record_signature(as_person(me), other, new)


def test_a_minor_may_not_sign_in_the_guardians_place(both: Flask) -> None:
    made = programme()
    number, guardian = young(made)
    with pytest.raises(NotAllowed):
        papers.record_signature(
            as_person(number), number, NewSignature(made.forms["consent"], TODAY, guardian=guardian)
        )
    with pytest.raises(BadInput) as refused:
        papers.record_signature(
            as_person(number), number, NewSignature(made.forms["consent"], TODAY)
        )
    assert refused.value.reason.code == "guardian_needed"


@pytest.mark.parametrize(
    ("signed_on", "code"),
    [(date(2027, 6, 17), "signed_in_future"), (date(2024, 12, 31), "signed_before_in_force")],
)
def test_a_signature_falls_on_a_day_on_which_the_form_could_be_signed(
    app: Flask, signed_on: date, code: str
) -> None:
    made = programme()
    number = adult()
    with pytest.raises(BadInput) as refused:
        sign(number, made, "release", signed_on)
    assert refused.value.reason.code == code


def test_a_guardian_signs_for_the_own_ward_only_and_not_for_an_adult(both: Flask) -> None:
    made = programme()
    number, guardian = young(made)
    other = people.add_person(CLI, NewPerson("Cal Moreno", born_on=date(2011, 1, 1)))
    with pytest.raises(BadInput) as refused:
        sign(other, made, "consent", TODAY, guardian)
    assert refused.value.reason.code == "guardian_not_of_person"
    old = people.add_person(CLI, NewPerson("Dee Park", born_on=date(1990, 1, 1)))
    theirs = standing.add_guardian(CLI, old, "Ed Park", "ed@example.org")
    with pytest.raises(BadInput) as refused:
        sign(old, made, "consent", TODAY, theirs)
    assert refused.value.reason.code == "no_guardian_for_adult"
    assert sign(number, made, "consent", TODAY, guardian) > 0


def test_a_withdrawn_release_holds_until_that_day(both: Flask) -> None:
    number = cleared_lead(programme())
    (row,) = read(lambda store: store.papers.signatures_of([number]))
    papers.withdraw_signature(CLI, row.id, date(2027, 6, 20), "asked by letter")
    assert codes(number, Role.LEAD, date(2027, 6, 19)) == []
    assert codes(number, Role.LEAD, date(2027, 6, 20)) == ["paper_lapsed"]


def test_a_withdrawn_consent_keeps_its_second_sign_and_scope(both: Flask) -> None:
    made = programme()
    number = minor(made)
    consent = next(
        s
        for s in read(lambda store: store.papers.signatures_of([number]))
        if s.kind == "guardian_consent"
    )
    papers.withdraw_signature(CLI, consent.id, date(2027, 6, 20), "the guardian called")
    assert codes(number, day=date(2027, 6, 19)) == []
    assert codes(number, day=date(2027, 6, 20)) == ["guardian_consent_lapsed"]


@pytest.mark.parametrize(
    ("version", "kind", "code"),
    [
        (1, PaperKind.RELEASE, "form_version_order"),
        (0, PaperKind.RELEASE, "form_version_order"),
        (2, PaperKind.AGREEMENT, "form_changes_kind"),
    ],
)
def test_versions_of_a_form_go_up_and_keep_its_kind(
    app: Flask, version: int, kind: PaperKind, code: str
) -> None:
    programme()
    new = NewForm("release", kind, "release", "Other text.", version=version, from_on=START)
    with pytest.raises(BadInput) as refused:
        papers.put_form_in_force(CLI, new)
    assert refused.value.reason.code == code


def test_the_text_of_a_version_is_kept_with_its_fingerprint(both: Flask) -> None:
    made = programme()
    text, sha256 = read(lambda store: store.papers.text_of(made.forms["release"]))
    assert text == "Text of the release."
    assert sha256 == "f269ed74bbe1bffdc5c3aea8d859a82b4bff24650a24ee51206bcc2b57fbca09"
