"""Staff roles, guardians, whom to call in an emergency, and roles withheld."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import func, or_, select

from roster.domain.people import Grant, StaffRole
from roster.store.models.people import emergency_contact, guardian, staff_grant, withheld
from roster.store.rows import made, made_or_none
from roster.store.unit import Unit


@dataclass(frozen=True)
class GuardianRow:
    """A guardian of a minor, from a day to a day."""

    id: int
    person: int
    name: str
    address: str
    phone: str
    from_on: date
    until_on: date | None


class PeopleRoles:
    """What a person is to the programme, and who stands by a person."""

    unit: Unit

    # staff roles

    def grants(self, number: int) -> list[tuple[int, Grant]]:
        """The staff roles of a person on record, with the number of each row."""
        g = staff_grant.c
        rows = self.unit.run(
            select(g.id, g.role, g.region, g.from_on, g.until_on)
            .where(g.person == number, g.ended_at.is_(None))
            .order_by(g.from_on, g.id)
        )
        return [(r.id, Grant(StaffRole(r.role), r.region, r.from_on, r.until_on)) for r in rows]

    def add_grant(self, number: int, grant: Grant) -> int:
        """Give a staff role from a day to a day."""
        return self.unit.insert(
            staff_grant, person=number, role=grant.role.value, region=grant.region,
            acting=int(grant.role is StaffRole.ACTING), from_on=grant.from_on,
            until_on=grant.until_on,
        )  # fmt: skip

    def end_grant(self, row: int, why: str) -> None:
        """End the row of a staff role (correct it by giving a new one)."""
        self.unit.end(staff_grant, [row], why)

    def coordinators(self, day: date) -> int:
        """How many people coordinate the programme on a day."""
        g = staff_grant.c
        return int(
            self.unit.run(
                select(func.count(g.person.distinct())).where(
                    g.role == "coordinator", g.region.is_(None), g.ended_at.is_(None),
                    g.from_on <= day, or_(g.until_on.is_(None), g.until_on > day),
                )
            ).scalar_one()
        )  # fmt: skip

    # guardians, emergency contact, roles withheld

    def add_guardian(self, number: int, name: str, address: str, phone: str, from_on: date) -> int:
        """A guardian of a minor from a day on."""
        return self.unit.insert(
            guardian, person=number, name=name, address=address, phone=phone, from_on=from_on
        )

    def guardians(self, number: int) -> list[GuardianRow]:
        """The guardians of a person, newest first."""
        c = guardian.c
        rows = self.unit.run(
            select(c.id, c.person, c.name, c.address, c.phone, c.from_on, c.until_on)
            .where(c.person == number)
            .order_by(c.from_on.desc(), c.id.desc())
        )
        return [made(GuardianRow, row) for row in rows]

    def guardian(self, number: int) -> GuardianRow | None:
        """One guardian, None if there is none of that number."""
        c = guardian.c
        row = self.unit.run(
            select(c.id, c.person, c.name, c.address, c.phone, c.from_on, c.until_on).where(
                c.id == number
            )
        ).one_or_none()
        return made_or_none(GuardianRow, row)

    def set_emergency_contact(self, number: int, name: str, phone: str, relation: str) -> None:
        """The one to call in an emergency, in place of whoever stood there."""
        mine = emergency_contact.c.person == number
        self.unit.run(emergency_contact.delete().where(mine))
        self.unit.insert(
            emergency_contact, person=number, name=name, phone=phone, relation=relation
        )

    def withhold(self, number: int, **values: Any) -> int:
        """Withhold a role from a day on."""
        return self.unit.insert(withheld, person=number, **values)

    def withheld_rows(self, number: int) -> list[tuple[int, str, str, date, date | None]]:
        """The roles withheld on record: row, role, kind, from, until (half-open)."""
        c = withheld.c
        rows = self.unit.run(
            select(c.id, c.role, c.kind, c.from_on, c.until_on)
            .where(c.person == number, c.ended_at.is_(None))
            .order_by(c.from_on, c.id)
        )
        return [(r.id, r.role, r.kind, r.from_on, r.until_on) for r in rows]

    def end_withheld(self, row: int, why: str) -> None:
        """End the row of a withheld role."""
        self.unit.end(withheld, [row], why)
