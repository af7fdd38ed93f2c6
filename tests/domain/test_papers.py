"""Papers. Outside rows: checks/trade_rules.csv W1 and W2, quoted at their tests."""

from dataclasses import replace
from datetime import date

import pytest

from roster.domain.paper_forms import SecondSign, SecondWay, Signature
from roster.domain.papers import consent_on, is_minor, papers_missing
from tests.support.standing import (
    AGREEMENT,
    CARE,
    CONSENT,
    RELEASE,
    guardian_papers,
    person,
    rules,
    signed,
)

DAY = date(2027, 6, 20)
BORN_17 = date(2010, 3, 1)
ADULT = date(1990, 5, 1)


def codes(born: date | None, signatures: tuple[Signature, ...], *forms: object, age: int = 18,
          day: date = DAY) -> list[str]:  # fmt: skip
    facts = person(rules(), born, signatures=signatures)
    return [r.code for r in papers_missing(facts, forms, day, age)]  # type: ignore[arg-type]


def test_a_volunteer_of_17_without_guardian_consent_may_not_serve() -> None:
    """Row W1 of checks/trade_rules.csv: FWS 150 FW 2."""
    assert codes(BORN_17, ()) == ["guardian_consent_missing", "emergency_care_missing"]
    assert codes(BORN_17, guardian_papers(date(2027, 5, 1))) == []


def test_a_volunteer_agreement_signed_13_months_ago_is_expired() -> None:
    """Row W2 of checks/trade_rules.csv: renew annually, NPS RM-7 ch. 5."""
    old = (signed(AGREEMENT, date(2026, 5, 20)),)
    facts = person(rules(), ADULT, signatures=old)
    (reason,) = papers_missing(facts, [AGREEMENT], DAY)
    assert (reason.code, reason.facts["last_day"]) == ("paper_lapsed", date(2027, 5, 19))


@pytest.mark.parametrize(
    ("day", "found"),
    [(date(2027, 5, 19), []), (date(2027, 5, 20), ["paper_lapsed"])],
    ids=["last valid day", "day after"],
)
def test_an_agreement_holds_through_its_last_valid_day(day: date, found: list[str]) -> None:
    assert codes(ADULT, (signed(AGREEMENT, date(2026, 5, 20)),), AGREEMENT, day=day) == found


def test_consent_counts_only_from_the_second_sign_on() -> None:
    once = signed(CONSENT, date(2027, 6, 1), guardian=9)
    later = SecondSign(way=SecondWay.LATER_MAIL, on=date(2027, 6, 20))
    twice = replace(once, second_signs=(later,))
    care = signed(CARE, date(2027, 6, 1), guardian=9)
    assert codes(BORN_17, (once, care)) == ["guardian_consent_one_sign"]
    assert codes(BORN_17, (twice, care), day=date(2027, 6, 19)) == ["guardian_consent_one_sign"]
    assert codes(BORN_17, (twice, care), day=date(2027, 6, 20)) == []


def test_a_minor_cannot_sign_the_guardian_consent_alone() -> None:
    own = tuple(replace(s, guardian=None) for s in guardian_papers(date(2027, 5, 1)))
    assert codes(BORN_17, own) == ["guardian_consent_missing", "emergency_care_missing"]


def test_the_guardians_word_ends_the_day_before_the_person_comes_of_age() -> None:
    born = date(2009, 6, 20)
    signatures = (*guardian_papers(date(2027, 1, 1)),
                  signed(AGREEMENT, date(2027, 1, 1), guardian=9))  # fmt: skip
    assert codes(born, signatures, AGREEMENT, day=date(2027, 6, 19)) == []
    assert codes(born, signatures, AGREEMENT, day=date(2027, 6, 20)) == ["paper_signed_as_minor"]


def test_a_release_is_asked_of_adults_only() -> None:
    papers = guardian_papers(date(2027, 5, 1))
    assert codes(BORN_17, papers, RELEASE) == []
    assert codes(ADULT, (), RELEASE) == ["paper_missing"]


def test_an_agreement_of_a_minor_needs_the_guardian_besides() -> None:
    papers = guardian_papers(date(2027, 5, 1))
    own = signed(AGREEMENT, date(2027, 5, 1))
    both = replace(own, guardian=9)
    assert codes(BORN_17, (*papers, own), AGREEMENT) == ["paper_lacks_guardian"]
    assert codes(BORN_17, (*papers, both), AGREEMENT) == []


def test_majority_is_that_of_the_sites_state_and_never_under_18() -> None:
    of_18 = person(rules(), date(2009, 6, 1))
    assert not is_minor(of_18, DAY, 18)
    assert is_minor(of_18, DAY, 19)
    of_17 = person(rules(), BORN_17)
    assert is_minor(of_17, DAY, 16)
    assert [r.code for r in papers_missing(of_18, [], DAY, 19)] == [
        "guardian_consent_missing",
        "emergency_care_missing",
    ]


def test_a_person_born_on_29_february_is_a_minor_through_28_february() -> None:
    """Rows dates-036 to dates-040 of checks/dates.csv: 29 February ages on 1 March."""
    leap = person(rules(), date(2008, 2, 29))
    assert is_minor(leap, date(2026, 2, 28))
    assert not is_minor(leap, date(2026, 3, 1))


def test_a_person_whose_age_is_not_known_is_treated_as_a_minor() -> None:
    assert is_minor(person(rules(), None), DAY)


def test_an_older_version_does_not_do_where_the_land_demands_a_newer_one() -> None:
    newer = replace(AGREEMENT, id=11, version=2)
    assert codes(ADULT, (signed(AGREEMENT, date(2027, 5, 1)),), newer) == ["paper_older_version"]
    assert codes(ADULT, (signed(newer, date(2027, 5, 1)),), AGREEMENT) == []


def test_a_withdrawn_signature_holds_until_the_day_of_withdrawal() -> None:
    withdrawn = (signed(AGREEMENT, date(2027, 5, 1), until_on=date(2027, 6, 20)),)
    assert codes(ADULT, withdrawn, AGREEMENT, day=date(2027, 6, 19)) == []
    assert codes(ADULT, withdrawn, AGREEMENT, day=date(2027, 6, 20)) == ["paper_lapsed"]


def test_lapsed_guardian_papers_name_their_last_valid_day() -> None:
    facts = person(rules(), BORN_17, signatures=guardian_papers(date(2026, 5, 1)))
    reasons = papers_missing(facts, [], DAY)
    assert [(r.code, r.facts["last_day"]) for r in reasons] == [
        ("guardian_consent_lapsed", date(2027, 4, 30)),
        ("emergency_care_lapsed", date(2027, 4, 30)),
    ]


def test_the_consent_in_force_is_the_newest_that_counts() -> None:
    old, _ = guardian_papers(date(2026, 9, 1))
    new, _ = guardian_papers(date(2027, 5, 1))
    facts = person(rules(), BORN_17, signatures=(new, old))
    assert consent_on(facts, DAY) == new
    assert consent_on(facts, date(2027, 4, 30)) == old
    assert consent_on(facts, date(2026, 8, 31)) is None
