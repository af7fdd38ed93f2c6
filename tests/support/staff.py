"""Coordinators with an account, for tests of pages."""

from __future__ import annotations

from datetime import date

from roster.domain.people import system
from roster.store.models.people import person, staff_grant
from roster.store.registry import Store
from roster.store.transaction import write


def coordinator(name: str) -> int:
    """A coordinator of the programme; gives the person's number."""
    return _staff(name, "coordinator", None)


def regional(name: str, region: int) -> int:
    """A regional coordinator; gives the person's number."""
    return _staff(name, "regional", region)


def _staff(name: str, role: str, region: int | None) -> int:
    def body(store: Store) -> int:
        number = store.unit.insert(
            person, name=name, name_key=name, state="active", born_on=date(1980, 5, 1),
            added_at=store.unit.at,
        )  # fmt: skip
        store.unit.insert(
            staff_grant, person=number, role=role, region=region, from_on=date(2027, 1, 1),
            until_on=None,
        )  # fmt: skip
        store.unit.note("added", "person", number)
        return number

    return write(body, actor=system("test"))
