"""One person of a crew, as the crew check sees them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from roster.domain.people import Role


@dataclass(frozen=True)
class CrewMember:
    """One person of a crew, as of the event's day.

    `cleared` maps each role that the person is cleared for on that day to its last valid day
    (None: no end). `lacks` are titles of papers that this land asks for and that are not signed.
    `elsewhere` are other events whose hours overlap, the way included. `guardians` are numbers of
    persons; an unknown household is empty. `guardian_yes`: a minor's guardian consents to this day
    and place, emergency care included.
    """

    person: int
    name: str
    role: Role
    cleared: Mapping[Role, date | None] = field(default_factory=dict)
    age: int | None = None
    is_minor: bool = False
    screened: bool = False
    guardian_yes: bool = False
    household: str = ""
    guardians: frozenset[int] = frozenset()
    lacks: tuple[str, ...] = ()
    elsewhere: tuple[int, ...] = ()

    @property
    def is_cleared(self) -> bool:
        """Whether the person is cleared for the role they go out in."""
        return self.role in self.cleared

    @property
    def counts(self) -> bool:
        """Whether the person counts towards the minimum crew: an adult cleared for the role."""
        return self.is_cleared and not self.is_minor
