"""The nearest people by rings of quarter-degree cells, so that few rows are looked at.

A ring is a circle round a site; it is covered by runs of cells, one run for each quarter degree
of latitude, and the index on (role, cell, ...) answers each run. Statements are written out and
made once: making one by parts at each call costs more than the database needs to answer it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import acos, asin, cos, degrees, floor, radians, sin
from typing import Any

from sqlalchemy import Date, TextClause, bindparam, text

from roster.domain.geo import EARTH_KM
from roster.domain.matching import place_of
from roster.domain.people import Role
from roster.store.held import CELL_DEGREES
from roster.store.lead_values import Reach

MANY_KM = (15.0, 60.0, 240.0)
"""Rings for crew members, who are many: the first mostly holds enough."""
FEW_KM = (45.0, 180.0)
"""Rings for the other roles (both measured at 100,000 people in sixty towns)."""
CELLS_ROUND = round(360 / CELL_DEGREES)
FARTHEST_LATITUDE = 80.0
"""Nearer to a pole a ring is too many cells wide; there everybody is looked at."""

_HAIR = 1e-9
"""Degrees by which a ring is widened, so that rounding leaves nobody outside."""

_PICK = """
SELECT h.root AS person, h.x * :x + h.y * :y + h.z * :z AS dot
FROM {source} held AS h
WHERE h.role = :role AND {cells} h.from_on <= :day AND (h.until_on IS NULL OR h.until_on > :day)
  AND h.x * :x + h.y * :y + h.z * :z >= :least
  AND NOT EXISTS (SELECT 1 FROM busy AS b WHERE b.day = :day AND b.root = h.root)
ORDER BY dot DESC, person LIMIT :most
"""


@dataclass(frozen=True)
class Ring:
    """A circle: its least cosine, and the first and last cell of each run that covers it."""

    least: float
    runs: tuple[tuple[int, int], ...]


def rings(reach: Reach) -> Iterator[Ring]:
    """Rings round a place, smallest first, up to a least cosine; at last one without cells."""
    lat, lon = place_of(*reach.at)
    least = reach.least
    polar = abs(lat) > FARTHEST_LATITUDE
    steps = MANY_KM if reach.role == Role.CREW_MEMBER else FEW_KM
    for km in () if polar else steps:
        cosine = cos(km / EARTH_KM)
        if cosine <= least:
            within = EARTH_KM * acos(min(1.0, least))
            yield Ring(least, _runs(lat, lon, within))
            return
        yield Ring(cosine, _runs(lat, lon, km))
    yield Ring(least, ())


def _runs(lat: float, lon: float, km: float) -> tuple[tuple[int, int], ...]:
    high = degrees(km / EARTH_KM) + _HAIR
    wide = degrees(asin(min(1.0, sin(km / EARTH_KM) / cos(radians(lat))))) + _HAIR
    bands = range(_floor(lat - high + 90), _floor(lat + high + 90) + 1)
    west, east = _floor(lon - wide + 180), _floor(lon + wide + 180)
    return tuple(
        (band * CELLS_ROUND + first, band * CELLS_ROUND + last)
        for band in bands
        for first, last in _round(west, east)
    )


def _floor(shifted: float) -> int:
    return floor(shifted / CELL_DEGREES)


def _round(west: int, east: int) -> list[tuple[int, int]]:
    """The run from west to east; two where it crosses the 180th meridian."""
    if west < 0:
        return [(west + CELLS_ROUND, CELLS_ROUND - 1), (0, east)]
    if east >= CELLS_ROUND:
        return [(west, CELLS_ROUND - 1), (0, east - CELLS_ROUND)]
    return [(west, east)]


def statement(ring: Ring) -> tuple[TextClause, dict[str, int]]:
    """The statement for a ring and the values of its runs, padded to a few fixed sizes."""
    if not ring.runs:
        return _made(0), {}
    size = next(n for n in _SIZES if n >= len(ring.runs))
    padded = [*ring.runs, *[(0, -1)] * (size - len(ring.runs))]
    values = {f"{name}{i}": run[k] for i, run in enumerate(padded) for k, name in enumerate("fl")}
    return _made(size), values


_SIZES = (4, 8, 16, 32, 64)
"""So many runs a statement is made for; a ring of 240 km has at most 2 x 20."""


@cache
def _made(size: int) -> TextClause:
    if size == 0:
        return _typed(_PICK.format(source="", cells=""))
    runs = ", ".join(f"(CAST(:f{i} AS BIGINT), CAST(:l{i} AS BIGINT))" for i in range(size))
    # Only whole numbers of ours are put into the text; every value is a parameter.
    source = f"(SELECT column1 AS f, column2 AS l FROM (VALUES {runs}) AS v) AS run CROSS JOIN"  # noqa: S608
    return _typed(_PICK.format(source=source, cells="h.cell BETWEEN run.f AND run.l AND"))


def _typed(sql: str) -> TextClause:
    made: Any = text(sql).bindparams(bindparam("day", type_=Date))
    return made  # type: ignore[no-any-return]
