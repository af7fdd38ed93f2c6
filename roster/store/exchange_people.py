"""People in bulk, for imports: found, added, and taken back."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, delete, func, or_, select, update

from roster.store.bulk import BulkRows, parts_of
from roster.store.models.access import session
from roster.store.models.events import could_come, lead_ask, spot
from roster.store.models.papers import signature
from roster.store.models.people import (
    away,
    emergency_contact,
    free_rule,
    guardian,
    knows_taxon,
    person,
    person_address,
    person_region,
    staff_grant,
    withheld,
)
from roster.store.models.training import attempt, completion, exemption
from roster.store.rows import made

BUILT_ON = (completion, signature, spot, lead_ask, staff_grant, withheld, exemption, attempt,
            guardian, session, emergency_contact, free_rule, away, knows_taxon,
            could_come)  # fmt: skip


@dataclass(frozen=True)
class OnRecord:
    """What is on record of a person that an import may change."""

    id: int
    root: int
    name: str
    born_on: date | None
    of_age_on: date | None
    language: str
    postcode: str | None
    phone: str | None
    household: str | None
    lat: float | None
    lon: float | None
    address: str | None
    region: int | None


class ExchangePeople(BulkRows):
    """Reads and writes people by the thousand."""

    def people_by_address(self, keys: Collection[str]) -> dict[str, int]:
        """Whose sign-in address each is, by the address in its sort form."""
        c = person_address.c
        return {
            row.key: row.person
            for part in parts_of(keys)
            for row in self.unit.run(
                select(c.key, c.person).where(
                    c.key.in_(part), c.use == "sign_in", c.until.is_(None)
                )
            )
        }

    def people_by_name(self, keys: Collection[str]) -> dict[str, list[tuple[int, date | None]]]:
        """Number and birth date of everybody with one of these names, in their sort form."""
        c = person.c
        found: dict[str, list[tuple[int, date | None]]] = {}
        for part in parts_of(keys):
            rows = self.unit.run(
                select(c.name_key, c.id, c.born_on).where(
                    c.name_key.in_(part), c.state.in_(("active", "paused"))
                )
            )
            for row in rows:
                found.setdefault(row.name_key, []).append((row.id, row.born_on))
        return found

    def on_record(self, numbers: Collection[int]) -> dict[int, OnRecord]:
        """What is on record of these people (present ones only)."""
        return {
            row.id: made(OnRecord, row)
            for part in parts_of(numbers)
            for row in self.unit.run(_on_record().where(person.c.id.in_(part)))
        }

    def add_people(
        self,
        rows: Sequence[Mapping[str, Any]],
        addresses: Sequence[str | None],
        regions: Sequence[int | None],
        from_on: date,
    ) -> Sequence[int]:
        """New people with address and home region; gives their numbers in order."""
        numbers = self.add_many(person, rows)
        mailed = [
            {"person": n, "address": a, "key": a, "use": "sign_in"}
            for n, a in zip(numbers, addresses, strict=True)
            if a is not None
        ]
        self.add_many(person_address, mailed)
        handed = [
            {"person": n, "region": r, "from_on": from_on, "until_on": None}
            for n, r in zip(numbers, regions, strict=True)
            if r is not None
        ]
        self.add_many(person_region, handed)
        return numbers

    def built_on(self, numbers: Collection[int]) -> list[int]:
        """Which of these people have finished steps, papers, spots, roles or sessions."""
        found: set[int] = set()
        for part in parts_of(numbers):
            for table in BUILT_ON:
                found |= set(
                    self.unit.run(select(table.c.person).where(table.c.person.in_(part))).scalars()
                )
        return sorted(found)

    def take_back_people(self, numbers: Collection[int]) -> None:
        """Empty the rows of people who were added by mistake; nothing else may refer to them."""
        blank = dict.fromkeys(
            ("born_on", "of_age_on", "postcode", "phone", "household", "lat", "lon", "x", "y", "z")
        )
        values: dict[str, Any] = blank | {"name": "-", "name_key": "-", "state": "erased"}
        for part in parts_of(numbers):
            self.unit.run(delete(person_address).where(person_address.c.person.in_(part)))
            open_rows = self.unit.run(
                select(person_region.c.id).where(
                    person_region.c.person.in_(part), person_region.c.ended_at.is_(None)
                )
            ).scalars()
            self.unit.end(person_region, list(open_rows), "import taken back")
            self.unit.run(update(person).where(person.c.id.in_(part)).values(**values))


def _on_record() -> Select[Any]:
    c, a = person.c, person_address.c
    address = (
        select(func.min(a.address))
        .where(a.person == c.id, a.use == "sign_in", a.until.is_(None))
        .scalar_subquery()
    )
    home = (
        select(func.min(person_region.c.region))
        .where(
            person_region.c.person == c.id,
            person_region.c.ended_at.is_(None),
            person_region.c.until_on.is_(None),
        )
        .scalar_subquery()
    )
    return select(
        c.id, func.coalesce(c.root_id, c.id).label("root"), c.name, c.born_on, c.of_age_on,
        c.language, c.postcode, c.phone, c.household, c.lat, c.lon, address.label("address"),
        home.label("region"),
    ).where(or_(c.state == "active", c.state == "paused"))  # fmt: skip
