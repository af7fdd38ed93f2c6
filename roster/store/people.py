"""Persons, their addresses and home regions; lists and roles stand in the files beside."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from json import loads
from typing import Any

from sqlalchemy import and_, func, select, update

from roster.domain.errors import NotFound
from roster.domain.geo import unit_vector
from roster.store.base import key_of
from roster.store.models.people import (
    person,
    person_address,
    person_region,
)
from roster.store.models.programme import postcode, region
from roster.store.people_lists import PeopleLists
from roster.store.people_roles import PeopleRoles
from roster.store.rows import made
from roster.store.unit import Unit


@dataclass(frozen=True)
class PersonRow:
    """One person as kept; `region` is the open home region, `root` the person merged into."""

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
    state: str
    added_at: datetime
    region: int | None
    region_name: str | None


@dataclass(frozen=True)
class Address:
    """A mail address in one use, open."""

    id: int
    person: int
    address: str
    use: str


@dataclass(frozen=True)
class Area:
    """What tells that a home place lies in a region."""

    region: int
    prefixes: tuple[str, ...]
    polygon: tuple[tuple[float, float], ...]


_OPEN_REGION = and_(
    person_region.c.person == person.c.id,
    person_region.c.ended_at.is_(None),
    person_region.c.until_on.is_(None),
)


def place_columns(lat: float | None, lon: float | None) -> dict[str, float | None]:
    """The home place as the table keeps it: degrees, and the point on a globe of radius 1."""
    if lat is None or lon is None:
        return dict.fromkeys(("lat", "lon", "x", "y", "z"))
    x, y, z = unit_vector(lat, lon)
    return {"lat": lat, "lon": lon, "x": x, "y": y, "z": z}


class People(PeopleLists, PeopleRoles):
    """Adds, changes and finds people."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add(self, **values: Any) -> int:
        """A new person; gives the number."""
        return self.unit.insert(person, **self.columns(values))

    def columns(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """The row of a new person from name, dates, place and so on."""
        return {
            **values,
            **place_columns(values.get("lat"), values.get("lon")),
            "name_key": values["name"],
            "state": "active",
            "added_at": self.unit.at,
        }

    def get(self, number: int) -> PersonRow:
        """One person. NotFound if there is none."""
        c = person.c
        row = self.unit.run(
            select(
                c.id, func.coalesce(c.root_id, c.id).label("root"), c.name, c.born_on, c.of_age_on,
                c.language, c.postcode, c.phone, c.household, c.lat, c.lon, c.state, c.added_at,
                region.c.id.label("region"), region.c.name.label("region_name"),
            )
            .select_from(
                person.outerjoin(person_region, _OPEN_REGION).outerjoin(
                    region, region.c.id == person_region.c.region
                )
            )
            .where(c.id == number)
            .limit(1)
        ).one_or_none()  # fmt: skip
        if row is None:
            raise NotFound("person", number)
        return made(PersonRow, row)

    def find(self, told: str) -> int:
        """The number of a person told as a number (`V123`, `123`) or a sign-in address."""
        if found := re.fullmatch(r"[vV]?(\d{1,18})", told.strip()):
            return self.get(int(found.group(1))).id
        row = self.address_owner(told)
        if row is None:
            raise NotFound("person", told)
        return row

    def address_owner(self, address: str) -> int | None:
        """Whose sign-in address it is, None if nobody's."""
        c = person_address.c
        return self.unit.run(
            select(c.person).where(c.key == key_of(address), c.use == "sign_in", c.until.is_(None))
        ).scalar()

    def change(self, number: int, values: Mapping[str, Any]) -> None:
        """Change columns of a person; a changed name or place brings its other columns along."""
        row = {k: v for k, v in values.items() if k not in ("lat", "lon")}
        if "lat" in values:
            row |= place_columns(values["lat"], values["lon"])
        if "name" in row:
            row["name_key"] = row["name"]
        if row:
            self.unit.run(update(person).where(person.c.id == number).values(**row))

    def roots(self, number: int) -> int:
        """The person that this one was merged into; the person itself if never merged."""
        return self.get(number).root

    # addresses

    def add_address(self, number: int, address: str, use: str = "sign_in") -> int:
        """A new address of a person."""
        return self.unit.insert(
            person_address, person=number, address=address, key=address, use=use
        )

    def addresses(self, number: int) -> list[Address]:
        """The open addresses of a person."""
        c = person_address.c
        rows = self.unit.run(
            select(c.id, c.person, c.address, c.use)
            .where(c.person == number, c.until.is_(None))
            .order_by(c.use.desc(), c.id)
        )
        return [made(Address, row) for row in rows]

    def end_addresses(self, number: int, use: str = "sign_in") -> None:
        """Close the open addresses of one use."""
        c = person_address.c
        self.unit.run(
            update(person_address)
            .where(c.person == number, c.use == use, c.until.is_(None))
            .values(until=self.unit.at)
        )

    # regions

    def areas(self) -> list[Area]:
        """What each region says of the home places in it."""
        c = region.c
        rows = self.unit.run(select(c.id, c.postcode_prefixes, c.polygon).order_by(c.id))
        return [
            Area(
                row.id,
                tuple(re.split(r"[\s,;]+", row.postcode_prefixes.strip().upper()))
                if row.postcode_prefixes.strip()
                else (),
                tuple((lat, lon) for lat, lon in loads(row.polygon)) if row.polygon else (),
            )
            for row in rows
        ]

    def place_of_postcodes(self, codes: Sequence[str]) -> dict[str, tuple[float, float]]:
        """The places of those postcodes that the programme has imported."""
        c = postcode.c
        found: dict[str, tuple[float, float]] = {}
        for start in range(0, len(codes), 1000):
            rows = self.unit.run(
                select(c.code, c.lat, c.lon).where(c.code.in_(codes[start : start + 1000]))
            )
            found |= {row.code: (row.lat, row.lon) for row in rows}
        return found

    def set_region(self, number: int, home: int | None, from_on: date) -> None:
        """Hand a person to a region from a day on (None: to nobody); the past is kept."""
        c = person_region.c
        rows = self.unit.run(
            select(c.id, c.region, c.from_on).where(
                c.person == number, c.ended_at.is_(None), c.until_on.is_(None)
            )
        ).all()
        if [row.region for row in rows] == ([] if home is None else [home]):
            return
        self.unit.end(person_region, [row.id for row in rows], "moved")
        closed = [
            {"person": number, "region": r.region, "from_on": r.from_on, "until_on": from_on}
            for r in rows
            if r.from_on < from_on
        ]
        self.unit.insert_many(person_region, closed)
        if home is not None:
            self.unit.insert(
                person_region, person=number, region=home, from_on=from_on, until_on=None
            )
