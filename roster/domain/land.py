"""Sites, populations, and what the land manager permits there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from roster.domain.errors import BadInput
from roster.domain.reasons import Fact, Finding, Level, Reason

Point = tuple[float, float]
"""Latitude and longitude in degrees, west negative."""


@dataclass(frozen=True)
class Site:
    """A place that one can travel to; minutes are whole minutes, height in feet."""

    id: int
    name: str
    lat: float
    lon: float
    time_zone: str
    elevation_ft: int = 0
    drive_minutes: int | None = None
    minutes_to_signal: int | None = None
    hospital_minutes: int | None = None
    roads: frozenset[str] = frozenset()

    @property
    def has_coverage(self) -> bool:
        """Whether a call can be made at the site itself; unknown counts as no."""
        return self.minutes_to_signal == 0


@dataclass(frozen=True)
class Plant:
    """A species as a permission and a listing see it."""

    id: int
    name: str
    listed: bool = False


@dataclass(frozen=True)
class Population:
    """The plants of one species at one site, collected as a unit."""

    id: int
    name: str
    site: int
    taxon: Plant
    zone: str = ""
    ecoregion: str = ""
    wild: bool = True
    culturally_used: str = ""
    position: Point | None = None


@dataclass(frozen=True)
class Permission:
    """What a land manager allows at one site; half-open days; None is "no ceiling was set".

    `taxa` maps a species to the most that may be taken over all events (None: no amount named).
    A species that is not in it is not permitted. `papers` are codes of forms. `listed_permit` is
    the number of the permit for listed plants, where there is one. `max_share` is the part of the
    viable seed that may be taken, 0 to 1.
    """

    id: int
    site: int
    manager: str
    from_on: date
    until_on: date
    taxa: Mapping[int, float | None] = field(default_factory=dict)
    people: int | None = None
    vehicles: int | None = None
    notice_days: int | None = None
    papers: frozenset[str] = frozenset()
    listed_permit: str = ""
    max_share: float = 0.2

    def __post_init__(self) -> None:
        if self.until_on <= self.from_on:
            facts: dict[str, Fact] = {"from_on": self.from_on, "until_on": self.until_on}
            raise BadInput("until_on", self.until_on, Reason("permission_days_reversed", facts))

    @property
    def last_day(self) -> date:
        """The last day that it holds."""
        return self.until_on - timedelta(days=1)

    def holds_on(self, first: date, last: date | None = None) -> bool:
        """Whether it is in force on that day, or on every day from first to last."""
        return self.from_on <= first and (last or first) < self.until_on


@dataclass(frozen=True)
class Outing:
    """What an event asks of the land: its days (last inclusive), plants, people, vehicles.

    `told_on` is the day on which the land manager was told, `asked_on` today.
    """

    site: Site
    first: date
    last: date
    asked_on: date
    taxa: tuple[Plant, ...] = ()
    people: int = 0
    vehicles: int | None = None
    told_on: date | None = None


def permission_findings(permissions: Iterable[Permission], outing: Outing) -> list[Finding]:
    """Whether the land manager allows this outing: stops first, else one clear finding.

    A permission must be on file for each site, covering its species and its days (BLM native-seed
    technical protocol, section 6b); a site check takes no species and needs access only.
    """
    here = [p for p in permissions if p.site == outing.site.id]
    if not here:
        return [_stop("permission_missing", {"site": outing.site.name})]
    in_force = [p for p in here if p.holds_on(outing.first, outing.last)]
    if not in_force:
        return [_not_in_force(here, outing)]
    found = [f for plant in outing.taxa for f in _taxon_findings(in_force, plant, outing)]
    used = _used(in_force, outing)
    for permission in used:
        found += _ceiling_findings(permission, outing) + _notice_findings(permission, outing)
    if not any(f.level is Level.STOP for f in found):
        first = used[0]
        facts: dict[str, Fact] = {"manager": first.manager, "last_day": first.last_day}
        found.append(Finding(Level.CLEAR, Reason("permission_holds", facts)))
    return sorted(found, key=lambda f: list(Level).index(f.level))


def papers_demanded(permissions: Iterable[Permission], outing: Outing) -> frozenset[str]:
    """Codes of the papers that each person must have signed for this land on these days."""
    in_force = [
        p for p in permissions if p.site == outing.site.id and p.holds_on(outing.first, outing.last)
    ]
    return (
        frozenset().union(*(p.papers for p in _used(in_force, outing))) if in_force else frozenset()
    )


def _used(in_force: Sequence[Permission], outing: Outing) -> list[Permission]:
    """The permissions that this outing goes under: those that name its plants, else the first."""
    wanted = {plant.id for plant in outing.taxa}
    return [p for p in in_force if wanted & set(p.taxa)] or list(in_force[:1])


def _not_in_force(here: Sequence[Permission], outing: Outing) -> Finding:
    nearest = max(here, key=lambda p: p.until_on)
    facts: dict[str, Fact] = {
        "manager": nearest.manager,
        "from_on": nearest.from_on,
        "last_day": nearest.last_day,
        "day": outing.first if not nearest.holds_on(outing.first) else outing.last,
    }
    return _stop("permission_not_in_force", facts)


def _taxon_findings(in_force: Sequence[Permission], plant: Plant, outing: Outing) -> list[Finding]:
    covering = [p for p in in_force if plant.id in p.taxa]
    facts: dict[str, Fact] = {
        "taxon": plant.name,
        "site": outing.site.name,
        "manager": in_force[0].manager,
    }
    found = [] if covering else [_stop("permission_lacks_taxon", facts)]
    if plant.listed and not any(p.listed_permit for p in covering):
        found.append(_stop("listed_without_permit", facts))
    return found


def _ceiling_findings(permission: Permission, outing: Outing) -> list[Finding]:
    found = []
    facts: dict[str, Fact] = {"manager": permission.manager}
    if permission.people is not None and outing.people > permission.people:
        found.append(
            _stop("permission_people", facts | {"most": permission.people, "n": outing.people})
        )
    if permission.vehicles is not None and outing.vehicles is None:
        most: dict[str, Fact] = {"most": permission.vehicles}
        found.append(Finding(Level.CAUTION, Reason("vehicles_not_counted", facts | most)))
    elif permission.vehicles is not None and (outing.vehicles or 0) > permission.vehicles:
        facts |= {"most": permission.vehicles, "n": outing.vehicles}
        found.append(_stop("permission_vehicles", facts))
    return found


def _notice_findings(permission: Permission, outing: Outing) -> list[Finding]:
    if not permission.notice_days:
        return []
    due = outing.first - timedelta(days=permission.notice_days)
    facts: dict[str, Fact] = {
        "manager": permission.manager,
        "days": permission.notice_days,
        "due": due,
        "told_on": outing.told_on,
    }
    if outing.told_on is not None:
        code = "notice_was_late" if outing.told_on > due else ""
    else:
        code = "notice_overdue" if outing.asked_on > due else "notice_to_give"
    return [Finding(Level.CAUTION, Reason(code, facts))] if code else []


def population_findings(populations: Iterable[Population]) -> list[Finding]:
    """Whether these plants may be collected at all, and whom to ask first.

    Wild origin only, never planted, seeded or post-fire-sown stands (BLM native-seed technical
    protocol, section 7a). Whom to ask about plants that people eat and honour: common practice,
    no source.
    """
    found = []
    for population in populations:
        facts: dict[str, Fact] = {"population": population.name}
        if not population.wild:
            found.append(_stop("population_not_wild", facts))
        if population.culturally_used:
            ask = facts | {"whom": population.culturally_used}
            found.append(Finding(Level.CAUTION, Reason("culturally_used", ask)))
    return found


def _stop(code: str, facts: Mapping[str, Fact]) -> Finding:
    return Finding(Level.STOP, Reason(code, facts))
