"""Persons, roles, and who is acting."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Role(StrEnum):
    """What a person may be on an event (derived from training) or in the programme (granted)."""

    CREW_MEMBER = "crew_member"
    DATA_COLLECTOR = "data_collector"
    LEAD = "lead"
    FIRST_AIDER = "first_aider"
    DRIVER = "driver"


class StaffRole(StrEnum):
    """Roles that are granted from a day to a day; region None means the whole programme."""

    COORDINATOR = "coordinator"
    REGIONAL = "regional"
    ACTING = "acting"
    DUTY = "duty"


@dataclass(frozen=True)
class Grant:
    """One staff role of a person, for one region or (None) all; half-open days."""

    role: StaffRole
    region: int | None
    from_on: date
    until_on: date | None

    def holds_on(self, day: date) -> bool:
        """Whether the grant is in force on that day."""
        return self.from_on <= day and (self.until_on is None or day < self.until_on)


class ActorKind(StrEnum):
    """How the act reached us."""

    PERSON = "person"
    SYSTEM = "system"  # command line or job: `name` says which
    LINK = "link"  # a mailed link: one purpose, one object
    ANONYMOUS = "anonymous"


@dataclass(frozen=True)
class Actor:
    """Who acts. `person` is None for system and anonymous; grants are those in force today."""

    kind: ActorKind
    name: str
    person: int | None = None
    grants: tuple[Grant, ...] = ()
    link: int | None = None
    language: str = "en"

    @property
    def is_coordinator(self) -> bool:
        """Whether the actor answers for the whole programme (the command line does too)."""
        return self.kind is ActorKind.SYSTEM or any(
            g.role in (StaffRole.COORDINATOR, StaffRole.ACTING) and g.region is None
            for g in self.grants
        )

    @property
    def regions(self) -> frozenset[int]:
        """Regions that the actor cares for (empty for a volunteer; see is_coordinator)."""
        staff = (StaffRole.COORDINATOR, StaffRole.REGIONAL, StaffRole.ACTING)
        return frozenset(g.region for g in self.grants if g.region is not None and g.role in staff)

    @property
    def is_staff(self) -> bool:
        """Whether the actor staffs events anywhere."""
        return self.is_coordinator or bool(self.regions)


def system(name: str) -> Actor:
    """The actor for the command line (`cli`) or a job (`job:reminders`)."""
    return Actor(ActorKind.SYSTEM, name)


ANONYMOUS = Actor(ActorKind.ANONYMOUS, "anonymous")
