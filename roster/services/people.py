"""Use cases of people: add, change, hand to a region, give and end staff roles."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date
from operator import attrgetter
from typing import Any
from uuid import UUID

from roster.domain.errors import BadInput, Conflict, RuleBroken
from roster.domain.geo import in_polygon
from roster.domain.people import Actor, Grant, StaffRole
from roster.domain.person_entry import PersonEntry, checked
from roster.domain.reasons import Reason
from roster.services import clearance, clock
from roster.services.access import require, require_coordinator, require_staff
from roster.store.base import key_of
from roster.store.people import Area
from roster.store.registry import Store
from roster.store.transaction import read, write

Operation = UUID | str | None
STATES = ("active", "paused", "left")


@dataclass(frozen=True)
class NewPerson(PersonEntry):
    """A person to be added; `region` None: the region that the home place lies in."""

    region: int | None = None


def today_in(store: Store) -> date:
    """The programme's day."""
    programme = store.programme.the_one()
    return clock.today(programme.time_zone if programme else "UTC")


def add_person(
    actor: Actor, new: NewPerson, operation: Operation = None, grant: Grant | None = None
) -> int:
    """A new person, with a staff role if one is given; gives the number.

    BadInput, Conflict `address_taken`, NotAllowed.
    """

    def body(store: Store) -> int:
        number = add_in(store, new)
        if grant is not None:
            grant_in(store, number, grant)
        return number

    return write(body, actor=actor, operation=operation)


def add_in(store: Store, new: NewPerson) -> int:
    """The same in a transaction at hand."""
    today = today_in(store)
    entry = located(store, checked(new, today))
    if new.region is not None:
        store.places.region(new.region)
    region = new.region or region_of(entry, store.people.areas())
    require_staff(store, region)
    values = entry_values(entry)
    number = store.people.add(**values)
    if entry.address is not None:
        _free(store, entry.address)
        store.people.add_address(number, entry.address)
    if region is not None:
        store.people.set_region(number, region, today)
    store.unit.note("added", "person", number, region=region, after={"name": entry.name})
    clearance.refresh(store, number)
    return number


def entry_values(entry: PersonEntry) -> dict[str, Any]:
    """The columns of a person that an entry fills."""
    return dict(zip(_COLUMNS, _VALUES(entry), strict=True))


_COLUMNS = tuple(f.name for f in fields(PersonEntry) if f.name != "address")
_VALUES = attrgetter(*_COLUMNS)


def located(store: Store, entry: PersonEntry) -> PersonEntry:
    """The entry with the place of its postcode, where no place is told and that one is known."""
    if entry.lat is not None or entry.postcode is None:
        return entry
    place = store.people.place_of_postcodes([entry.postcode]).get(entry.postcode)
    return entry if place is None else replace(entry, lat=place[0], lon=place[1])


def region_of(entry: PersonEntry, areas: list[Area]) -> int | None:
    """The region that a home place lies in: by outline first, then by the longest prefix."""
    if entry.lat is not None and entry.lon is not None:
        for area in areas:
            if area.polygon and in_polygon(entry.lat, entry.lon, area.polygon):
                return area.region
    best: tuple[int, int] | None = None
    for area in areas:
        for prefix in area.prefixes:
            fits = prefix and entry.postcode and entry.postcode.startswith(prefix)
            if fits and (best is None or len(prefix) > best[0]):
                best = (len(prefix), area.region)
    return None if best is None else best[1]


def change_person(
    actor: Actor, person: int, changes: dict[str, Any], operation: Operation = None
) -> int:
    """Change what is told of a person (fields of PersonEntry, and `state`); gives the number.

    By who coordinates the home region; the person may not change birth date, state or address.
    """

    def body(store: Store) -> int:
        own_only = not {"born_on", "of_age_on", "state", "address"} & set(changes)
        require(store, "person", person, "staff", *(["self"] if own_only else []))
        change_in(store, person, changes)
        return person

    return write(body, actor=actor, operation=operation)


def change_in(store: Store, person: int, changes: dict[str, Any]) -> None:
    """The same in a transaction at hand."""
    row = store.people.get(person)
    before: dict[str, Any] = {f.name: getattr(row, f.name, None) for f in fields(PersonEntry)}
    state = changes.get("state", row.state)
    if state not in STATES:
        raise BadInput("state", state, Reason("bad_choice", {"value": str(state)}))
    told = {k: v for k, v in changes.items() if k != "state"}
    entry = located(store, checked(PersonEntry(**(before | told)), today_in(store)))
    after = entry_values(entry) | {"state": state}
    changed = {k: v for k, v in after.items() if v != (before | {"state": row.state})[k]}
    address = entry.address if "address" in told else None
    if address is not None:
        _new_address(store, person, address)
    if not changed and address is None:
        return
    store.people.change(person, changed)
    if {"lat", "postcode"} & set(changed):
        store.people.set_region(
            person, region_of(entry, store.people.areas()) or row.region, today_in(store)
        )
    old = {k: (before | {"state": row.state})[k] for k in changed}
    store.unit.note("changed", "person", person, region=row.region, before=old, after=changed)
    after_facts(store, row.root)


def after_facts(store: Store, root: int) -> None:
    """Bring what is derived from a person's facts along: clearance, and crews to come."""
    from roster.services import crewcheck

    clearance.refresh(store, root)
    crewcheck.refresh_for_person(store, root)


def _new_address(store: Store, person: int, address: str) -> None:
    mine = [a.address for a in store.people.addresses(person) if a.use == "sign_in"]
    if mine == [address]:
        return
    _free(store, address, but=person)
    store.people.end_addresses(person)
    store.people.add_address(person, address)


def _free(store: Store, address: str, but: int | None = None) -> None:
    owner = store.people.address_owner(address)
    if owner is not None and owner != but:
        raise Conflict(Reason("address_taken", {"address": address}))


def hand_over(actor: Actor, person: int, region: int | None, operation: Operation = None) -> int:
    """Hand a person to a region from today on (None: unassigned); gives the person's number."""

    def body(store: Store) -> int:
        require(store, "person", person, "staff")
        row = store.people.get(person)
        if region is not None:
            store.places.region(region)
        store.people.set_region(person, region, today_in(store))
        store.unit.note(
            "handed_over", "person", person, region=region,
            before={"region": row.region}, after={"region": region},
        )  # fmt: skip
        return person

    return write(body, actor=actor, operation=operation)


def grant_role(actor: Actor, person: int, grant: Grant, operation: Operation = None) -> int:
    """Give a staff role from a day to a day; gives the number of its row.

    By a coordinator of the programme; the command line may name the first.
    """

    def body(store: Store) -> int:
        store.people.get(person)
        return grant_in(store, person, grant)

    return write(body, actor=actor, operation=operation)


def grant_in(store: Store, person: int, grant: Grant) -> int:
    """The same in a transaction at hand."""
    require_coordinator(store)
    if grant.until_on is not None and grant.until_on <= grant.from_on:
        raise BadInput("until_on", grant.until_on, Reason("days_reversed"))
    if grant.role is StaffRole.REGIONAL and grant.region is None:
        raise BadInput("region", None, Reason("region_needed"))
    number = store.people.add_grant(person, grant)
    told = {"role": grant.role.value, "from_on": grant.from_on, "until_on": grant.until_on}
    store.unit.note("granted", "person", person, region=grant.region, after=told)
    return number


def find_region(told: str) -> int:
    """The number of a region told by code or name. BadInput `region_not_known`."""
    key = key_of(told)

    def body(store: Store) -> int | None:
        return next(
            (r.id for r in store.places.regions() if key in (key_of(r.code), key_of(r.name))), None
        )

    found = read(body)
    if found is None:
        raise BadInput("region", told, Reason("region_not_known", {"value": told[:40]}))
    return found


def programme_today() -> date:
    """The programme's day."""
    return read(today_in)


def end_grant(actor: Actor, person: int, row: int, until_on: date) -> int:
    """End a staff role from a day on; the programme never loses its last coordinator."""

    def body(store: Store) -> int:
        require_coordinator(store)
        grants = dict(store.people.grants(person))
        if row not in grants:
            raise BadInput("grant", row, Reason("not_found", {"kind": "role", "value": str(row)}))
        held = grants[row]
        store.people.end_grant(row, "ended")
        number = store.people.add_grant(person, replace(held, until_on=max(until_on, held.from_on)))
        if not store.people.coordinators(max(until_on, today_in(store))):
            raise RuleBroken([Reason("last_coordinator")])
        store.unit.note(
            "ended_role", "person", person, region=held.region,
            after={"role": held.role.value, "until_on": until_on},
        )  # fmt: skip
        return number

    return write(body, actor=actor)
