"""An import of people beside reading the same sheet and inserting the same rows unchecked."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Table, func, select

from roster.domain.import_columns import ImportKind
from roster.measure import crowd
from roster.measure.databases import Place, fresh, kinds, opened
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import ROUNDS, Pair
from roster.measure.signup import Driver, copied, settled
from roster.services import exchange
from roster.services.clock import SetClock
from roster.store.base import db
from roster.store.models.exchange import import_batch, import_row
from roster.store.models.people import person, person_address, person_region

AT_LEAST = 0.35
TABLES = (person, person_address, person_region, import_batch, import_row)
"""Where an import leaves rows, beside one of the journal."""


@dataclass(frozen=True)
class Left:
    """What an import left in a table: its text of inserting, and the driver's own values."""

    table: Table
    text: str
    rows: Sequence[tuple[Any, ...]]


def _mark(kind: str) -> str:
    return "?" if kind == "sqlite" else "%s"


def _left(kind: str, before: dict[str, int], table: Table) -> Left:
    columns = ", ".join(f'"{c.name}"' for c in table.columns)
    with db.engine.connect() as connection:
        asked = f'SELECT {columns} FROM "{table.name}" WHERE id > {before[table.name]} ORDER BY id'  # noqa: S608 - names and a number of ours
        rows = connection.exec_driver_sql(asked).all()
    marks = ", ".join(_mark(kind) for _ in table.columns)
    text = f'INSERT INTO "{table.name}" ({columns}) VALUES ({marks})'  # noqa: S608 - names of ours
    return Left(table, text, [tuple(row) for row in rows])


def _last_numbers() -> dict[str, int]:
    with db.engine.connect() as connection:
        return {
            table.name: connection.execute(select(func.max(table.c.id))).scalar() or 0
            for table in TABLES
        }


def import_checked(place: Place, sheet: bytes) -> tuple[float, list[Left], bool]:
    """CPU seconds of the use case, what it left, and whether the server's CPU was counted."""
    with opened(place, SetClock(crowd.NOW)):
        before = _last_numbers()
        meter = Meter.here()

        def act() -> None:
            exchange.take_in(crowd.ACTOR, ImportKind.PEOPLE, "people.csv", sheet)

        seconds = meter.of(act)
        return seconds, [_left(place.kind, before, t) for t in TABLES], meter.sees_server


def insert_unchecked(place: Place, sheet: bytes, left: Sequence[Left]) -> float:
    """CPU seconds of reading the sheet and handing rows that are ready to the driver alone."""
    driver = Driver(place)
    sqlite = place.kind == "sqlite"
    meter = Meter() if sqlite else Meter([driver.connection.info.backend_pid])

    def act() -> None:
        read = list(csv.reader(io.StringIO(sheet.decode(), newline="")))
        assert len(read) > 1  # noqa: S101 - the reading is part of what is timed
        cursor = driver.connection.cursor()
        if sqlite:
            cursor.execute("BEGIN IMMEDIATE")
        for one in left:
            cursor.executemany(one.text, one.rows)
        driver.connection.commit()

    seconds = meter.of(act)
    driver.connection.close()
    return seconds


def wrong_of(sheet: bytes, left: Sequence[Left], again: Sequence[Left]) -> str | None:
    """What does not agree: the sheet with what was left, or both ways with each other."""
    told = list(csv.DictReader(io.StringIO(sheet.decode(), newline="")))
    people = left[0]
    names = [c.name for c in people.table.columns]
    there = [dict(zip(names, row, strict=True)) for row in people.rows]
    for row, one in zip(there, told, strict=True):
        kept = row["name"], str(row["born_on"]), row["postcode"], str(row["lat"]), str(row["lon"])
        if kept != (one["Name"], one["Born"], one["ZIP"], one["Latitude"], one["Longitude"]):
            return f"{one['Name']} is not as the sheet says"
    if len(left[1].rows) != len(told) or len(left[2].rows) != len(told):
        return "an address or a region is missing"
    if [one.rows for one in left] != [one.rows for one in again]:
        return "the driver left other rows"
    return None


def _read_back(place: Place, before: dict[str, int]) -> list[Left]:
    with opened(place, SetClock(crowd.NOW)):
        return [_left(place.kind, before, table) for table in TABLES]


def compared(kind: str, people: int, rounds: int = ROUNDS) -> Line:
    """One line; each sample begins with a database that holds the programme but no people."""
    sheet = crowd.people_sheet(crowd.newcomers(people))
    checked, plain = [], []
    with fresh(kind) as place:
        with opened(place, SetClock(crowd.NOW)):
            crowd.lay()
            before = _last_numbers()
        settled(place)
        with ExitStack() as first:
            one, two = (first.enter_context(copied(place, name)) for name in ("a", "b"))
            _seconds, left, sees_server = import_checked(one, sheet)
            insert_unchecked(two, sheet, left)
            wrong = wrong_of(sheet, left, _read_back(two, before))
        for turn in range(rounds):
            for side in (0, 1) if turn % 2 == 0 else (1, 0):
                with copied(place, f"r{turn}{side}") as copy:
                    if side:
                        plain.append(insert_unchecked(copy, sheet, left))
                    else:
                        checked.append(import_checked(copy, sheet)[0])
    line = Pair("import", kind, people, plain, checked, at_least=AT_LEAST).line(wrong)
    return replace(line, more={**line.more, "server": sees_server})


def lines(people: int) -> Iterator[Line]:
    """One line for each database."""
    for kind in kinds():
        yield compared(kind, people)
