"""Import of people: who a row is, what it would change, and doing it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from roster.domain.errors import BadInput
from roster.domain.import_columns import Columns
from roster.domain.person_entry import PersonEntry, checked, day_told
from roster.domain.reasons import Reason
from roster.services import clearance, people
from roster.services.import_rows import Outcome, RowLook, Sorted, cells, day_text, number_told
from roster.services.people import NewPerson, entry_values, region_of
from roster.store.base import key_of
from roster.store.exchange_people import OnRecord
from roster.store.registry import Store

YES = {"yes", "y", "x", "true", "1", "si", "sí"}
COMPARED = ("name", "phone", "born_on", "of_age_on", "language", "postcode", "lat", "lon",
            "household")  # fmt: skip


@dataclass(slots=True)
class _Row:
    """One row that could be read: which person by number, and what is told."""

    line: int
    number: int | None
    entry: NewPerson
    told: frozenset[str]


@dataclass
class PeoplePlan:
    """People to add and to change. See `import_rows.Plan`."""

    looks: list[RowLook]
    today: date
    new: list[tuple[int, NewPerson]] = field(default_factory=list)
    changed: list[tuple[int, OnRecord, dict[str, Any]]] = field(default_factory=list)

    def apply(self, store: Store, batch: int) -> None:
        """Add and change the people, bring clearances along, keep what each row did."""
        self._add(store, batch)
        kept = []
        roots = []
        for line, old, values in self.changed:
            before = {name: getattr(old, name) for name in values}
            change(store, old.id, values, self.today)
            store.unit.note("changed", "person", old.id, region=old.region, before=before,
                            after=values)  # fmt: skip
            kept.append((line, old.id, "changed", {"before": before, "after": values}))
            roots.append(old.root)
        store.exchange.add_batch_rows(batch, "person", kept)
        refresh(store, roots, self.today)

    def _add(self, store: Store, batch: int) -> None:
        areas = store.people.areas()
        numbers = store.exchange.add_people(
            [store.people.columns(entry_values(entry)) for _, entry in self.new],
            [entry.address for _, entry in self.new],
            [entry.region or region_of(entry, areas) for _, entry in self.new],
            self.today,
        )
        lines = (line for line, _ in self.new)
        store.exchange.add_batch_rows(
            batch, "person",
            [(line, number, "new", None) for line, number in zip(lines, numbers, strict=True)],
        )  # fmt: skip
        if numbers and clearance.clears_a_newcomer(store, self.today):
            clearance.refresh_many(store, list(numbers))


def change(store: Store, person: int, values: dict[str, Any], today: date) -> None:
    """Change columns, address and region of a person, without the rest of a single change."""
    columns = {k: v for k, v in values.items() if k not in ("address", "region")}
    if "lat" in columns or "lon" in columns:
        row = store.people.get(person)
        columns = {"lat": row.lat, "lon": row.lon} | columns
    store.people.change(person, columns)
    if "address" in values:
        store.people.end_addresses(person)
        if values["address"] is not None:
            store.people.add_address(person, values["address"])
    if "region" in values:
        store.people.set_region(person, values["region"], today)


def refresh(store: Store, roots: Sequence[int], today: date) -> None:
    """Bring clearances and the crews to come along after many changes."""
    from roster.services import crewcheck

    clearance.refresh_many(store, roots)
    for person in store.people.with_open_events(roots, today):
        crewcheck.refresh_for_person(store, person)


def look(store: Store, rows: Sequence[tuple[int, Sequence[Any]]], columns: Columns) -> PeoplePlan:
    """What the rows would do; changes nothing."""
    today = people.today_in(store)
    regions = {key_of(n): r.id for r in store.places.regions() for n in (r.code, r.name)}
    sorting = Sorted()
    read = []
    for line, row in rows:
        told = cells(columns, row)
        who = _who(told)
        try:
            read.append(_read(line, told, regions, today))
        except BadInput as error:
            sorting.refuse(line, who, error.reason, error.field)
    found = _matched(store, read, sorting)
    plan = PeoplePlan(sorting.looks, today)
    _sort(store, plan, found)
    sorting.looks.sort(key=lambda look: look.line)
    return plan


def _who(told: dict[str, Any]) -> str:
    name = told.get("name") or " ".join(
        str(told[part]) for part in ("first_name", "last_name") if part in told
    )
    return str(name or told.get("address") or told.get("number") or "")[:80]


def _read(line: int, told: dict[str, Any], regions: dict[str, int], today: date) -> _Row:
    number = _number(told.get("number"))
    name = _who({k: v for k, v in told.items() if k in ("name", "first_name", "last_name")})
    adult = str(told.get("of_age", "")).casefold() in YES
    entry = NewPerson(
        name=str(told.get("name") or name or ("-" if number else "")),
        address=told.get("address"),
        phone=None if "phone" not in told else str(told["phone"]),
        born_on=day_told("born_on", told.get("born_on")),
        of_age_on=today if adult else None,
        language=str(told.get("language", "en")).casefold(),
        postcode=None if "postcode" not in told else str(told["postcode"]),
        lat=number_told("lat", told.get("lat")),
        lon=number_told("lon", told.get("lon")),
        household=None if "household" not in told else str(told["household"]),
        region=_region(told.get("region"), regions),
    )
    fields = {k for k in (*COMPARED, "address", "region") if k in told}
    if name:
        fields.add("name")
    if "born_on" in fields or adult:
        fields.add("of_age_on")
    done: Any = checked(entry, today)
    return _Row(line, number, done, frozenset(fields))


def _number(told: object) -> int | None:
    if told is None:
        return None
    found = re.fullmatch(r"[vV]?(\d{1,15})", str(told))
    if not found:
        raise BadInput("number", told, Reason("bad_number_of_person", {"value": str(told)[:40]}))
    return int(found.group(1))


def _region(told: object, regions: dict[str, int]) -> int | None:
    if told is None:
        return None
    number = regions.get(key_of(str(told)))
    if number is None:
        raise BadInput("region", told, Reason("region_not_known", {"value": str(told)[:40]}))
    return number


def _matched(store: Store, rows: list[_Row], sorting: Sorted) -> list[tuple[_Row, OnRecord | None]]:
    """Each row with the person it is about (None: somebody new)."""
    exchange = store.exchange
    by_address = exchange.people_by_address(
        {key_of(r.entry.address) for r in rows if r.entry.address}
    )
    nameless = [r for r in rows if r.number is None and not r.entry.address]
    by_name = exchange.people_by_name({key_of(r.entry.name) for r in nameless})
    guessed: dict[int, int] = {}
    for row in rows:
        number = row.number
        if number is None and row.entry.address:
            number = by_address.get(key_of(row.entry.address))
        elif number is None:
            number = _by_name(row, by_name.get(key_of(row.entry.name), []))
        if number is not None:
            guessed[row.line] = number
    known = exchange.on_record({n for n in guessed.values() if n > 0})
    found = []
    seen = _Seen()
    for row in rows:
        refused = seen.refuses(row, guessed.get(row.line), known, by_address)
        if refused is not None:
            sorting.refuse(row.line, row.entry.name, refused)
        else:
            found.append((row, known.get(guessed.get(row.line, 0))))
    return found


def _by_name(row: _Row, same: list[tuple[int, date | None]]) -> int | None:
    """The person of that name and birth date; minus the number where only the name is the same."""
    if not same:
        return None
    for number, born in same:
        if born is not None and born == row.entry.born_on:
            return number
    if row.entry.born_on is not None and all(born is not None for _, born in same):
        return None
    return -same[0][0]


@dataclass
class _Seen:
    """What earlier rows of the file were about."""

    addresses: dict[str, int] = field(default_factory=dict)
    people: dict[int, int] = field(default_factory=dict)
    names: dict[tuple[str, date | None], int] = field(default_factory=dict)

    def refuses(
        self,
        row: _Row,
        number: int | None,
        known: dict[int, OnRecord],
        by_address: dict[str, int],
    ) -> Reason | None:
        """Why a row cannot stand beside the earlier ones, or None."""
        if number is not None and number < 0:
            return Reason("person_of_that_name", {"person": -number})
        if number is not None and number not in known:
            return Reason("person_not_known", {"value": f"V{number}"})
        address = key_of(row.entry.address) if row.entry.address else None
        if address is not None:
            first = self.addresses.setdefault(address, row.line)
            if first != row.line:
                facts = {"address": row.entry.address, "line": first}
                return Reason("address_twice_in_file", facts)
            if number is not None and by_address.get(address, number) != number:
                return Reason("address_taken", {"address": row.entry.address})
        if number is not None:
            first = self.people.setdefault(number, row.line)
        elif address is None:
            first = self.names.setdefault((key_of(row.entry.name), row.entry.born_on), row.line)
        else:
            first = row.line
        return None if first == row.line else Reason("person_twice_in_file", {"line": first})


def _sort(store: Store, plan: PeoplePlan, found: list[tuple[_Row, OnRecord | None]]) -> None:
    places = store.people.place_of_postcodes(
        sorted({r.entry.postcode for r, _ in found if r.entry.postcode and r.entry.lat is None})
    )
    areas = store.people.areas()
    for row, old in found:
        entry = row.entry
        if entry.postcode in places and entry.lat is None:
            lat, lon = places[entry.postcode]
            entry = replace(entry, lat=lat, lon=lon)
        if old is None:
            plan.new.append((row.line, entry))
            plan.looks.append(RowLook(row.line, Outcome.NEW, entry.name))
            continue
        values = _differing(row, entry, old)
        if {"postcode", "lat", "lon"} & set(values) and "region" not in row.told:
            region = region_of(_after(old, values), areas)
            if region is not None and region != old.region:
                values["region"] = region
        if not values:
            plan.looks.append(RowLook(row.line, Outcome.UNCHANGED, old.name))
            continue
        shown = tuple(
            (name, day_text(getattr(old, name)), day_text(value)) for name, value in values.items()
        )
        plan.changed.append((row.line, old, values))
        plan.looks.append(RowLook(row.line, Outcome.CHANGED, old.name, None, shown))


def _differing(row: _Row, entry: NewPerson, old: OnRecord) -> dict[str, Any]:
    told = set(row.told)
    if entry.lat is not None:
        told |= {"lat", "lon"}
    if "of_age_on" in told and "born_on" not in told and old.of_age_on is not None:
        told.discard("of_age_on")
    return {
        name: getattr(entry, name)
        for name in (*COMPARED, "address", "region")
        if name in told and getattr(entry, name) != getattr(old, name)
    }


def _after(old: OnRecord, values: dict[str, Any]) -> PersonEntry:
    return PersonEntry(
        name=old.name,
        postcode=values.get("postcode", old.postcode),
        lat=values.get("lat", old.lat),
        lon=values.get("lon", old.lon),
    )
