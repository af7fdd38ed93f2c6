"""People and what they have finished as spreadsheets, as a coordinator would send them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Protocol

from roster.measure.demo import course

PEOPLE_HEADINGS = ("Name", "E-mail", "Phone", "Born", "ZIP", "Latitude", "Longitude", "Household")
STEPS_HEADINGS = ("E-mail", "Step", "Done on", "Valid until", "Score")
SCORED = {"how-much": "92"}


class Invented(Protocol):
    """Whoever can stand in such a spreadsheet."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def address(self) -> str: ...  # noqa: D102
    @property
    def phone(self) -> str: ...  # noqa: D102
    @property
    def born_on(self) -> date: ...  # noqa: D102
    @property
    def postcode(self) -> str: ...  # noqa: D102
    @property
    def place(self) -> tuple[float, float]: ...  # noqa: D102
    @property
    def household(self) -> str: ...  # noqa: D102
    @property
    def level(self) -> str: ...  # noqa: D102
    @property
    def marks(self) -> str: ...  # noqa: D102


def people_sheet(people: Iterable[Invented]) -> bytes:
    """Who they are, one a row."""
    return _sheet(PEOPLE_HEADINGS, (_person(one) for one in people))


def _person(one: Invented) -> tuple[str, ...]:
    lat, lon = one.place
    born = one.born_on.isoformat()
    return one.name, one.address, one.phone, born, one.postcode, str(lat), str(lon), one.household


def steps_sheet(people: Iterable[Invented]) -> bytes:
    """What they have finished, one step a row."""
    rows = []
    for one in people:
        for code in course.finished(one.level, one.marks):
            until = course.AID_UNTIL.isoformat() if code == "aid" else ""
            done = course.DONE_ON[code].isoformat()
            rows.append((one.address, code, done, until, SCORED.get(code, "")))
    return _sheet(STEPS_HEADINGS, rows)


def card_sheet(one: Invented, until: date) -> bytes:
    """The last valid day of one first-aid card."""
    done = course.DONE_ON["aid"].isoformat()
    return _sheet(STEPS_HEADINGS, [(one.address, "aid", done, until.isoformat(), "")])


def _sheet(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(headings)
    writer.writerows(rows)
    return text.getvalue().encode()
