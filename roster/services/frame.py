"""What frames every page: the programme, its day, its season."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roster.services import clock
from roster.store.programme import ProgrammeRow, SeasonRow
from roster.store.registry import Store
from roster.store.transaction import read
from roster.words import formats


@dataclass(frozen=True)
class Frame:
    """Name of the programme, its today, the abbreviation of its zone, the season (or None)."""

    programme: str
    time_zone: str | None
    today: date
    zone_name: str
    season: SeasonRow | None


def now() -> Frame:
    """The frame of this moment; a database without a programme is framed in UTC."""
    at = clock.now()

    def body(store: Store) -> tuple[ProgrammeRow | None, SeasonRow | None]:
        found = store.programme.the_one()
        day = formats.local(at, found.time_zone).date() if found else at.date()
        return found, store.programme.season_of(day)

    programme, season = read(body)
    zone = programme.time_zone if programme else None
    here = formats.local(at, zone)
    name = programme.name if programme else ""
    return Frame(name, zone, here.date(), formats.abbreviation(here), season)
