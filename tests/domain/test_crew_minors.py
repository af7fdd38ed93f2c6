"""Minors on a crew.

Two trained adults as far as possible: California Business and Professions Code 18975(c), read in a
reprint. Youngest ages: our own defaults; a unit may set a minimum (FWS 150 FW 2, section 2.4).
"""

from dataclasses import replace
from datetime import date

import pytest

from roster.domain.crew_member import CrewMember
from roster.domain.crew_minors import YOUNGEST, minor_findings
from roster.domain.people import Role
from roster.domain.reasons import Level

UNTIL = date(2028, 4, 30)


def adult(number, name, household, role=Role.CREW_MEMBER):
    return CrewMember(number, name, role, {role: UNTIL}, 40, screened=True, household=household)


MINA = adult(2, "Mina Sato", "Sato", Role.DATA_COLLECTOR)
OMAR = adult(3, "Omar Haddad", "Haddad")
KEIKO = adult(4, "Keiko Marsh", "Marsh")
TEO = CrewMember(
    9, "Teo Marsh", Role.CREW_MEMBER, {Role.CREW_MEMBER: UNTIL}, 16, is_minor=True,
    household="Marsh", guardians=frozenset({4}), guardian_yes=True,
)  # fmt: skip


def judged(*members):
    found = [(f.level, f.reason.code) for f in minor_findings(members)]
    return [one for one in found if one != (Level.CLEAR, "guardian_consent_there")]


def test_a_minor_comes_only_with_the_guardians_consent_and_it_is_shown_when_there():
    """W1 of tests/checks/trade_rules.csv: aged 17, no guardian consent: may not serve."""
    assert (Level.STOP, "guardian_consent_lacks") in judged(
        MINA, OMAR, replace(TEO, age=17, guardian_yes=False)
    )
    codes = [f.reason.code for f in minor_findings([MINA, OMAR, TEO])]
    assert "guardian_consent_there" in codes


def test_a_crew_of_adults_has_nothing_said_about_minors():
    assert judged(MINA, OMAR) == []


def test_two_cleared_adults_of_two_households_are_shown_also_when_it_is_met():
    assert judged(MINA, OMAR, TEO) == [(Level.CLEAR, "two_adults_there")]


@pytest.mark.parametrize(
    "second",
    [replace(OMAR, screened=False), replace(OMAR, cleared={}), replace(OMAR, is_minor=True)],
    ids=["not screened", "not cleared", "under age"],
)
def test_only_cleared_and_screened_adults_count(second):
    assert (Level.STOP, "two_adults_missing") in judged(MINA, second, TEO)


def test_two_adults_of_one_household_do_not_do():
    assert judged(MINA, replace(OMAR, household="Sato"), TEO) == [
        (Level.STOP, "adults_of_one_household")
    ]


def test_the_only_guardian_is_not_one_of_the_two():
    assert judged(MINA, KEIKO, TEO) == [(Level.STOP, "adult_is_only_guardian")]
    assert judged(MINA, OMAR, KEIKO, TEO) == [(Level.CLEAR, "two_adults_there")]


def test_one_of_two_guardians_may_be_one_of_the_two():
    two = replace(TEO, guardians=frozenset({4, 5}))
    assert judged(MINA, KEIKO, two) == [(Level.CLEAR, "two_adults_there")]


def test_an_unknown_household_is_a_caution_unless_another_pair_is_known():
    unknown = replace(OMAR, household="")
    assert judged(MINA, unknown, TEO) == [(Level.CAUTION, "two_adults_household_unknown")]
    rosa = adult(6, "Rosa Iniguez", "Iniguez")
    assert judged(MINA, unknown, rosa, TEO) == [(Level.CLEAR, "two_adults_there")]


def test_each_minor_is_looked_at_alone():
    second = replace(TEO, person=10, name="Ida Sato", guardians=frozenset({2}))
    assert judged(MINA, OMAR, TEO, second) == [
        (Level.CLEAR, "two_adults_there"),
        (Level.STOP, "adult_is_only_guardian"),
    ]


@pytest.mark.parametrize(
    ("age", "with_guardian", "code"),
    [
        (16, False, None),
        (15, False, (Level.STOP, "own_guardian_not_there")),
        (15, True, (Level.CLEAR, "own_guardian_there")),
        (14, True, (Level.CLEAR, "own_guardian_there")),
        (13, True, (Level.STOP, "too_young_for_crew")),
    ],
)
def test_sixteen_alone_fourteen_with_an_own_guardian_there(age, with_guardian, code):
    crew = [MINA, OMAR, replace(TEO, age=age)] + [KEIKO] * with_guardian
    found = [f for f in judged(*crew) if f[1] != "two_adults_there"]
    assert found == ([code] if code else [])


@pytest.mark.parametrize(
    ("role", "youngest"),
    [(Role.LEAD, 18), (Role.DATA_COLLECTOR, 18), (Role.FIRST_AIDER, 18), (Role.DRIVER, 21)],
)
def test_all_other_roles_have_a_youngest_age_of_their_own(role, youngest):
    assert YOUNGEST[role].alone == youngest
    young = replace(OMAR, role=role, age=youngest - 1)
    assert (Level.STOP, "too_young_for_crew") in judged(MINA, young)
    assert judged(MINA, replace(young, age=youngest)) == []
