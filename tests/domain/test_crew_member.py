"""Who counts towards the minimum crew: cleared adults (common practice, no source)."""

from datetime import date

from roster.domain.crew_member import CrewMember
from roster.domain.people import Role

UNTIL = date(2028, 4, 30)


def test_an_adult_cleared_for_the_role_counts():
    both = {Role.CREW_MEMBER: UNTIL, Role.LEAD: None}
    assert CrewMember(1, "Ana Ferrer", Role.LEAD, both, 40).counts


def test_clearance_for_another_role_does_not_count():
    only_crew = {Role.CREW_MEMBER: UNTIL}
    member = CrewMember(1, "Ana Ferrer", Role.LEAD, only_crew, 40)
    assert not member.is_cleared
    assert not member.counts


def test_a_cleared_minor_is_cleared_but_does_not_count():
    teen = CrewMember(2, "Teo Marsh", Role.CREW_MEMBER, {Role.CREW_MEMBER: UNTIL}, 16, True)
    assert teen.is_cleared
    assert not teen.counts
