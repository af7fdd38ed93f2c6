"""Import of postcodes with their places, from which home places are worked out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from roster.domain.errors import BadInput
from roster.domain.import_columns import Columns
from roster.domain.person_entry import check_place, plain_text
from roster.domain.reasons import Reason
from roster.services.import_rows import Outcome, RowLook, Sorted, cells, number_told
from roster.services.people import today_in
from roster.store.registry import Store


@dataclass
class PostcodesPlan:
    """Postcodes to add and to move. See `import_rows.Plan`."""

    looks: list[RowLook]
    today: date
    new: list[dict[str, Any]] = field(default_factory=list)
    changed: list[dict[str, Any]] = field(default_factory=list)

    def apply(self, store: Store, batch: int) -> None:
        """Add and move them; home places told before stay where they are."""
        store.exchange.put_postcodes(self.new, self.changed)


def look(
    store: Store, rows: Sequence[tuple[int, Sequence[Any]]], columns: Columns
) -> PostcodesPlan:
    """What the rows would do; changes nothing."""
    sorting = Sorted()
    plan = PostcodesPlan(sorting.looks, today_in(store))
    on_record = store.exchange.postcodes()
    seen: dict[str, int] = {}
    for line, row in rows:
        told = cells(columns, row)
        try:
            code, place = _read(told)
        except BadInput as error:
            sorting.refuse(line, str(told.get("postcode", "")), error.reason, error.field)
            continue
        first = seen.setdefault(code, line)
        if first != line:
            sorting.refuse(line, code, Reason("person_twice_in_file", {"line": first}))
            continue
        _sort(plan, line, (code, place), on_record.get(code))
    return plan


def _read(told: dict[str, Any]) -> tuple[str, tuple[float, float]]:
    code = plain_text("postcode", str(told.get("postcode", "")), 12).upper()
    lat, lon = number_told("lat", told.get("lat")), number_told("lon", told.get("lon"))
    if lat is None or lon is None:
        raise BadInput("lat", None, Reason("half_a_place"))
    check_place(lat, lon)
    return code, (lat, lon)


def _sort(
    plan: PostcodesPlan,
    line: int,
    told: tuple[str, tuple[float, float]],
    old: tuple[float, float] | None,
) -> None:
    code, (lat, lon) = told
    values = {"code": code, "lat": lat, "lon": lon}
    if old is None:
        plan.new.append(values)
        plan.looks.append(RowLook(line, Outcome.NEW, code))
    elif old == (lat, lon):
        plan.looks.append(RowLook(line, Outcome.UNCHANGED, code))
    else:
        plan.changed.append(values)
        changes = (("lat", str(old[0]), str(lat)), ("lon", str(old[1]), str(lon)))
        plan.looks.append(RowLook(line, Outcome.CHANGED, code, None, changes))
