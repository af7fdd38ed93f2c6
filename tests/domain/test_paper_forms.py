"""Days of one signature. A guardian's ends with minority; an own one needs majority."""

from dataclasses import replace
from datetime import date

from roster.domain.paper_forms import SecondSign, SecondWay
from roster.domain.spans import OPEN_END
from tests.support.standing import AGREEMENT, CONSENT, RELEASE, signed

BIRTHDAY = date(2027, 6, 20)
SIGNED = date(2027, 1, 10)


def test_a_signature_holds_from_its_day_through_the_day_before_the_anniversary() -> None:
    one = signed(RELEASE, SIGNED)
    assert one.days(date(2008, 1, 1)) == (SIGNED, date(2028, 1, 10))
    assert one.last_day == date(2028, 1, 9)


def test_a_form_without_validity_has_no_end() -> None:
    one = signed(replace(RELEASE, validity=None), SIGNED)
    assert one.days(date(2008, 1, 1)) == (SIGNED, OPEN_END)
    assert one.last_day is None


def test_a_withdrawal_ends_it_earlier_and_never_later() -> None:
    assert signed(RELEASE, SIGNED, until_on=BIRTHDAY).ends_on == BIRTHDAY
    assert signed(RELEASE, SIGNED, until_on=date(2030, 1, 1)).ends_on == date(2028, 1, 10)


def test_a_guardians_signature_ends_on_the_day_of_majority() -> None:
    assert signed(AGREEMENT, SIGNED, guardian=9).days(BIRTHDAY) == (SIGNED, BIRTHDAY)
    assert signed(AGREEMENT, BIRTHDAY, guardian=9).days(BIRTHDAY) is None


def test_an_own_signature_counts_from_the_day_of_majority_only() -> None:
    assert signed(RELEASE, date(2027, 6, 19)).days(BIRTHDAY) is None
    own = signed(RELEASE, BIRTHDAY).days(BIRTHDAY)
    assert own == (BIRTHDAY, date(2028, 6, 20))


def test_consent_counts_from_the_first_of_its_second_signs() -> None:
    calls = tuple(
        SecondSign(way=SecondWay.CALL, on=day) for day in (date(2027, 3, 1), date(2027, 2, 1))
    )
    consent = signed(CONSENT, SIGNED, guardian=9)
    assert consent.counts_from is None
    assert consent.days(BIRTHDAY) is None
    assert replace(consent, second_signs=calls).days(BIRTHDAY) == (date(2027, 2, 1), BIRTHDAY)
