"""Rules that guard minors on a crew: shown also when they are met, never overridden."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from roster.domain.crew_member import CrewMember
from roster.domain.people import Role
from roster.domain.reasons import Fact, Finding, Level, Reason


@dataclass(frozen=True)
class Youngest:
    """The youngest age in a role, alone and with an own guardian there (None: never younger)."""

    alone: int
    with_guardian: int | None = None


YOUNGEST: Mapping[Role, Youngest] = {
    Role.LEAD: Youngest(18),
    Role.DATA_COLLECTOR: Youngest(18),
    Role.FIRST_AIDER: Youngest(18),
    Role.DRIVER: Youngest(21),
    Role.CREW_MEMBER: Youngest(16, 14),
}
"""Our own defaults; a unit may set a minimum age (FWS 150 FW 2, section 2.4)."""


def minor_findings(members: Sequence[CrewMember]) -> list[Finding]:
    """What stands against the minors of this crew, or that every rule for them is met."""
    minors = [m for m in members if m.is_minor]
    found = _ages(members) + _consents(minors)
    if minors:
        found += _two_adults(minors, members)
    return found


def _consents(minors: Sequence[CrewMember]) -> list[Finding]:
    """Each minor needs a guardian's consent for that day and place (FWS 150 FW 2; OF-301A)."""
    missing = [
        _stop("guardian_consent_lacks", {"name": m.name}) for m in minors if not m.guardian_yes
    ]
    if missing or not minors:
        return missing
    names: dict[str, Fact] = {"names": "; ".join(m.name for m in minors)}
    return [Finding(Level.CLEAR, Reason("guardian_consent_there", names))]


def _ages(members: Sequence[CrewMember]) -> list[Finding]:
    there = {m.person for m in members}
    found = []
    for m in members:
        youngest = YOUNGEST[m.role]
        if m.age is None or m.age >= youngest.alone:
            continue
        facts: dict[str, Fact] = {"name": m.name, "role": m.role, "age": youngest.alone}
        if youngest.with_guardian is None or m.age < youngest.with_guardian:
            least = youngest.with_guardian or youngest.alone
            found.append(_stop("too_young_for_crew", facts | {"age": least}))
        elif not m.guardians & there:
            found.append(_stop("own_guardian_not_there", facts))
        else:
            found.append(Finding(Level.CLEAR, Reason("own_guardian_there", facts)))
    return found


def _two_adults(minors: Sequence[CrewMember], members: Sequence[CrewMember]) -> list[Finding]:
    """Two cleared and screened adults for each minor, of two households, neither of them the
    minor's only guardian.

    Two trained adults as far as possible: California Business and Professions Code 18975(c).
    """
    adults = [m for m in members if m.counts and m.screened]
    n: Fact = len(adults)
    if len(adults) < 2:
        return [_stop("two_adults_missing", {"n": n, "minors": len(minors)})]
    found = []
    for minor in minors:
        pair = _pair(minor, adults)
        if pair is None:
            found.append(_stop(_why_no_pair(minor, adults), {"name": minor.name}))
            continue
        facts: dict[str, Fact] = {"name": minor.name, "first": pair[0].name, "second": pair[1].name}
        if pair[0].household and pair[1].household:
            found.append(Finding(Level.CLEAR, Reason("two_adults_there", facts)))
        else:
            found.append(Finding(Level.CAUTION, Reason("two_adults_household_unknown", facts)))
    return found


def _pair(minor: CrewMember, adults: Sequence[CrewMember]) -> tuple[CrewMember, CrewMember] | None:
    """Two adults who may answer for this minor, those of known households first."""
    good = [
        pair
        for pair in combinations([a for a in adults if not _only_guardian(a, minor)], 2)
        if not _one_household(*pair)
    ]
    known = [pair for pair in good if pair[0].household and pair[1].household]
    return next(iter(known or good), None)


def _only_guardian(adult: CrewMember, minor: CrewMember) -> bool:
    return minor.guardians == {adult.person}


def _one_household(one: CrewMember, other: CrewMember) -> bool:
    return bool(one.household) and one.household == other.household


def _why_no_pair(minor: CrewMember, adults: Sequence[CrewMember]) -> str:
    others = [a for a in adults if not _only_guardian(a, minor)]
    return "adult_is_only_guardian" if len(others) < 2 else "adults_of_one_household"


def _stop(code: str, facts: Mapping[str, Fact]) -> Finding:
    return Finding(Level.STOP, Reason(code, facts))
