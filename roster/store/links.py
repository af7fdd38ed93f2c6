"""Mailed links: one purpose, one object, until an instant, and revocable."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select, update

from roster.store.models.access import link
from roster.store.rows import made_or_none
from roster.store.unit import Unit


@dataclass(frozen=True)
class Link:
    """One mailed link. Its secret is worked out from purpose, number and generation."""

    id: int
    purpose: str
    object_kind: str
    object_id: int
    person: int | None
    guardian: int | None
    until: datetime
    generation: int
    revoked_at: datetime | None
    used_at: datetime | None

    def is_good_at(self, at: datetime) -> bool:
        """Whether it may still be opened."""
        return self.revoked_at is None and at < self.until


class Links:
    """Adds, finds and revokes links."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add(
        self,
        purpose: str,
        about: tuple[str, int],
        *,
        until: datetime,
        person: int | None = None,
        guardian: int | None = None,
    ) -> Link:
        """A new link to one object."""
        kind, number = about
        made = self.unit.insert(
            link, purpose=purpose, object_kind=kind, object_id=number, person=person,
            guardian=guardian, until=until, generation=1, made_at=self.unit.at,
        )  # fmt: skip
        return Link(made, purpose, kind, number, person, guardian, until, 1, None, None)

    def get(self, number: int) -> Link | None:
        """The link with that number."""
        c = link.c
        row = self.unit.run(
            select(
                c.id, c.purpose, c.object_kind, c.object_id, c.person, c.guardian, c.until,
                c.generation, c.revoked_at, c.used_at,
            ).where(c.id == number)
        ).one_or_none()  # fmt: skip
        return made_or_none(Link, row)

    def use(self, number: int) -> bool:
        """Mark it as used; False if it was already."""
        done = self.unit.run(
            update(link)
            .where(link.c.id == number, link.c.used_at.is_(None))
            .values(used_at=self.unit.at)
        )
        return done.rowcount == 1

    def revoke(self, number: int) -> bool:
        """Take it back; False if it was already."""
        done = self.unit.run(
            update(link)
            .where(link.c.id == number, link.c.revoked_at.is_(None))
            .values(revoked_at=self.unit.at)
        )
        return done.rowcount == 1
