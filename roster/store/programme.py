"""The programme, its settings, its seasons."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import or_, select

from roster.store.models.programme import programme, season, setting
from roster.store.rows import made, made_or_none
from roster.store.unit import Unit


@dataclass(frozen=True)
class ProgrammeRow:
    """The programme itself."""

    id: int
    name: str
    time_zone: str
    language: str
    demo: bool


@dataclass(frozen=True)
class SeasonRow:
    """One collecting year; half-open days."""

    id: int
    name: str
    from_on: date
    until_on: date


class Programme:
    """Reads and adds the programme, settings and seasons."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def the_one(self) -> ProgrammeRow | None:
        """The programme, or None before the first start."""
        c = programme.c
        row = self.unit.run(
            select(c.id, c.name, c.time_zone, c.language, c.demo).order_by(c.id).limit(1)
        ).one_or_none()
        if row is None:
            return None
        return ProgrammeRow(row.id, row.name, row.time_zone, row.language, bool(row.demo))

    def add(self, name: str, time_zone: str, language: str, *, demo: bool = False) -> int:
        """A new programme; gives its number."""
        return self.unit.insert(
            programme, name=name, time_zone=time_zone, language=language, demo=int(demo)
        )

    def add_season(self, name: str, from_on: date, until_on: date) -> int:
        """A new season; gives its number."""
        return self.unit.insert(season, name=name, from_on=from_on, until_on=until_on)

    def seasons(self) -> list[SeasonRow]:
        """All seasons, newest first."""
        rows = self.unit.run(
            select(season.c.id, season.c.name, season.c.from_on, season.c.until_on).order_by(
                season.c.from_on.desc(), season.c.id
            )
        )
        return [made(SeasonRow, row) for row in rows]

    def season_of(self, day: date) -> SeasonRow | None:
        """The season that holds a day, the newest if two do."""
        row = self.unit.run(
            select(season.c.id, season.c.name, season.c.from_on, season.c.until_on)
            .where(season.c.from_on <= day, season.c.until_on > day)
            .order_by(season.c.from_on.desc())
            .limit(1)
        ).one_or_none()
        return made_or_none(SeasonRow, row)

    def settings_on(self, day: date) -> dict[str, str]:
        """Every setting as it is in force on a day."""
        s = setting.c
        rows = self.unit.run(
            select(s.key, s.value)
            .where(
                s.ended_at.is_(None),
                s.from_on <= day,
                or_(s.until_on.is_(None), s.until_on > day),
            )
            .order_by(s.from_on)
        )
        return {row.key: row.value for row in rows}

    def set(self, key: str, value: str, from_on: date) -> int:
        """A setting that holds from a day on; the newest of a key wins."""
        return self.unit.insert(setting, key=key, value=value, from_on=from_on, until_on=None)
