"""Use cases of who stands by a person: guardians, whom to call; and roles withheld."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roster.domain.errors import BadInput
from roster.domain.people import Actor, Role
from roster.domain.person_entry import (
    NAME_MOST,
    TEXT_MOST,
    mail_address,
    phone_number,
    plain_text,
)
from roster.domain.person_facts import WithheldKind
from roster.domain.reasons import Reason
from roster.services.access import require
from roster.services.people import Operation, after_facts, today_in
from roster.store.facts import ALL_ROLES
from roster.store.registry import Store
from roster.store.transaction import write


def add_guardian(actor: Actor, minor: int, name: str, address: str, phone: str = "") -> int:
    """A guardian of a minor; gives the guardian's number. BadInput if it is the minor's mailbox."""
    told = plain_text("name", name, NAME_MOST)
    mailed = mail_address(address)
    called = phone_number(phone) if phone.strip() else ""

    def body(store: Store) -> int:
        require(store, "person", minor, "staff")
        own = [a.address.casefold() for a in store.people.addresses(minor)]
        if mailed.casefold() in own:
            raise BadInput("address", address, Reason("guardian_is_the_minor"))
        number = store.people.add_guardian(minor, told, mailed, called, today_in(store))
        store.unit.note("added_guardian", "person", minor, after={"guardian": number})
        return number

    return write(body, actor=actor)


def set_emergency_contact(
    actor: Actor, person: int, name: str, phone: str, relation: str = ""
) -> int:
    """Whom to call in an emergency; gives the person's number. Only leads of that day read it."""
    told = plain_text("name", name, NAME_MOST)
    called = phone_number(phone)
    how = plain_text("relation", relation, TEXT_MOST) if relation.strip() else ""

    def body(store: Store) -> int:
        require(store, "person", person, "staff", "self")
        store.people.set_emergency_contact(person, told, called, how)
        store.unit.note("set_emergency_contact", "person", person)
        return person

    return write(body, actor=actor)


@dataclass(frozen=True)
class Withholding:
    """A role (None: every role) withheld from a day; `until_on` half-open, None: until ended."""

    role: Role | None
    kind: WithheldKind
    from_on: date
    until_on: date | None = None
    reason_code: str = ""


def withhold(actor: Actor, person: int, what: Withholding, operation: Operation = None) -> int:
    """Suspend a person from a role or revoke it, from a day; gives the number of its row."""

    def body(store: Store) -> int:
        require(store, "person", person, "staff")
        if what.until_on is not None and what.until_on <= what.from_on:
            raise BadInput("until_on", what.until_on, Reason("days_reversed"))
        role = ALL_ROLES if what.role is None else what.role.value
        number = store.people.withhold(
            person, role=role, kind=what.kind.value, from_on=what.from_on,
            until_on=what.until_on, reason_code=what.reason_code,
        )  # fmt: skip
        row = store.people.get(person)
        told = {"role": role, "from_on": what.from_on, "until_on": what.until_on}
        store.unit.note(what.kind.value, "person", person, region=row.region, after=told)
        after_facts(store, row.root)
        return number

    return write(body, actor=actor, operation=operation)


def give_back(actor: Actor, person: int, row: int, why: str, operation: Operation = None) -> int:
    """End a withheld role from today on; the days before stay withheld. Gives the person."""
    reason = plain_text("why", why, TEXT_MOST)

    def body(store: Store) -> int:
        require(store, "person", person, "staff")
        today = today_in(store)
        found = next((w for w in store.people.withheld_rows(person) if w[0] == row), None)
        if found is None:
            raise BadInput("row", row, Reason("already_ended"))
        _, role, kind, from_on, until_on = found
        store.people.end_withheld(row, reason)
        if from_on < today:
            store.people.withhold(
                person, role=role, kind=kind, from_on=from_on,
                until_on=min(today, until_on or today), reason_code="given_back",
            )  # fmt: skip
        kept = store.people.get(person)
        store.unit.note("gave_back", "person", person, region=kept.region, after={"role": role})
        after_facts(store, kept.root)
        return person

    return write(body, actor=actor, operation=operation)
