"""Permissions and closures."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from json import loads
from typing import Any

from sqlalchemy import func, or_, select

from roster.domain.closures import Closure
from roster.domain.land import Permission
from roster.store.models.land import closure, permission, permission_paper, permission_taxon
from roster.store.models.papers import paper_form
from roster.store.models.programme import taxon
from roster.store.unit import Unit

ENDLESS = date(9999, 12, 31)


@dataclass(frozen=True)
class PermissionLine:
    """A permission as the site's page shows it; `last_day` inclusive, None without an end."""

    id: int
    manager: str
    from_on: date
    last_day: date | None
    max_share: float
    people: int | None
    vehicles: int | None
    notice_days: int
    taxa: tuple[str, ...]
    papers: tuple[str, ...]


class LandRows:
    """What the land manager permits, and what is closed."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add_permission(
        self, taxa: Mapping[int, str | None], papers: Iterable[int], **values: Any
    ) -> int:
        """A new permission with its species (amount or None) and papers; gives its number."""
        number = self.unit.insert(permission, **values)
        if taxa:
            self.unit.run(
                permission_taxon.insert(),
                [{"permission": number, "taxon": t, "amount": a} for t, a in taxa.items()],
            )
        forms = [{"permission": number, "paper_form": form} for form in sorted(set(papers))]
        if forms:
            self.unit.run(permission_paper.insert(), forms)
        return number

    def permissions(self, sites: Collection[int]) -> list[Permission]:
        """Every permission of these sites, past ones too, in three statements."""
        p = permission.c
        rows = self.unit.run(select(permission).where(p.site.in_(sites)).order_by(p.id)).all()
        numbers = [row.id for row in rows]
        taxa = self._taxa(numbers)
        papers = self._papers(numbers)
        return [
            Permission(
                id=row.id,
                site=row.site,
                manager=row.manager,
                from_on=row.from_on,
                until_on=row.until_on or ENDLESS,
                taxa=taxa.get(row.id, {}),
                people=row.people,
                vehicles=row.vehicles,
                notice_days=row.notice_days or None,
                papers=papers.get(row.id, frozenset()),
                listed_permit=row.listed_permit,
                max_share=row.max_share,
            )
            for row in rows
        ]

    def _taxa(self, numbers: Collection[int]) -> dict[int, dict[int, float | None]]:
        c = permission_taxon.c
        rows = self.unit.run(
            select(c.permission, c.taxon, c.amount)
            .where(c.permission.in_(numbers))
            .order_by(c.permission, c.taxon)
        )
        return {
            number: {row.taxon: _amount(row.amount) for row in group}
            for number, group in groupby(rows, key=lambda row: row.permission)
        }

    def _papers(self, numbers: Collection[int]) -> dict[int, frozenset[str]]:
        c = permission_paper.c
        rows = self.unit.run(
            select(c.permission, paper_form.c.code)
            .join(paper_form, paper_form.c.id == c.paper_form)
            .where(c.permission.in_(numbers))
            .order_by(c.permission)
        )
        return {
            number: frozenset(row.code for row in group)
            for number, group in groupby(rows, key=lambda row: row.permission)
        }

    def permission_lines(self, at_site: int) -> list[PermissionLine]:
        """The permissions of one site with names, newest first."""
        found = self.permissions([at_site])
        names = self._taxon_names(found)
        p = permission.c
        rows = self.unit.run(select(p.id, p.max_share).where(p.site == at_site))
        shares = {row.id: row.max_share for row in rows}
        lines = [
            PermissionLine(
                id=one.id,
                manager=one.manager,
                from_on=one.from_on,
                last_day=None if one.until_on == ENDLESS else one.last_day,
                max_share=shares[one.id],
                people=one.people,
                vehicles=one.vehicles,
                notice_days=one.notice_days or 0,
                taxa=tuple(sorted(names[t] for t in one.taxa)),
                papers=tuple(sorted(one.papers)),
            )
            for one in found
        ]
        return sorted(lines, key=lambda line: (line.from_on, line.id), reverse=True)

    def _taxon_names(self, found: Iterable[Permission]) -> dict[int, str]:
        plants = {t for p in found for t in p.taxa}
        named = self.unit.run(select(taxon.c.id, taxon.c.name).where(taxon.c.id.in_(plants)))
        return {row.id: row.name for row in named}

    def paper_choices(self) -> list[tuple[int, str, str]]:
        """Number, code and title of the newest version of every paper form."""
        f = paper_form.c
        newest = select(func.max(f.id)).group_by(f.code)
        rows = self.unit.run(select(f.id, f.code, f.title).where(f.id.in_(newest)).order_by(f.code))
        return [(r.id, r.code, r.title) for r in rows]

    def add_closure(self, **values: Any) -> int:
        """A new closure; gives its number."""
        return self.unit.insert(closure, **values)

    def closure(self, number: int) -> Closure | None:
        """One closure as known now, or None."""
        c = closure.c
        row = self.unit.run(
            select(closure).where(c.id == number, c.ended_at.is_(None))
        ).one_or_none()
        return None if row is None else _closure(row)

    def closure_row(self, number: int) -> dict[str, Any] | None:
        """The columns of a closure as known now, to be written again; None if there is none."""
        row = self.unit.run(
            select(*_CLOSURE).where(closure.c.id == number, closure.c.ended_at.is_(None))
        ).one_or_none()
        return None if row is None else dict(row._mapping)

    def end_closure(self, number: int, why: str) -> int:
        """End a closure's row (entered by mistake, or replaced by one with an end)."""
        return self.unit.end(closure, [number], why)

    def closures(self, start: datetime, end: datetime) -> list[Closure]:
        """The closures in force at any moment from start to end, as known now."""
        c = closure.c
        rows = self.unit.run(
            select(closure)
            .where(
                c.ended_at.is_(None),
                c.from_at < end,
                or_(c.until_at.is_(None), c.until_at > start),
            )
            .order_by(c.from_at, c.id)
        )
        return [_closure(row) for row in rows]


_CLOSURE = [
    c for c in closure.c if c.name != "id" and not c.name.startswith(("recorded_", "ended_"))
]


def _closure(row: Any) -> Closure:
    return Closure(
        id=row.id,
        kind=row.name,
        from_at=row.from_at,
        until_at=row.until_at,
        area=tuple((lat, lon) for lat, lon in loads(row.polygon)) if row.polygon else (),
        site=row.site,
        road=row.road or "",
        order_no=row.order_no,
        checked_on=row.checked_on,
    )


def _amount(said: str | None) -> float | None:
    try:
        return None if said is None else float(said)
    except ValueError:
        return None
