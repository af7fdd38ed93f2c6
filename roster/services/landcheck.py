"""What the land says about an event: permission, closures, populations."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from roster.domain.closures import Stay, closure_findings
from roster.domain.events import Event, EventKind
from roster.domain.land import (
    Outing,
    Permission,
    papers_demanded,
    permission_findings,
    population_findings,
)
from roster.domain.reasons import Finding
from roster.store.event_values import EventRow
from roster.store.places import SiteRow
from roster.store.plant_values import PopulationRow
from roster.store.registry import Store


@dataclass(frozen=True)
class Ground:
    """Everything about the land that an event's check reads."""

    event: EventRow
    place: SiteRow
    outing: Outing
    stay: Stay
    permissions: tuple[Permission, ...]
    populations: tuple[PopulationRow, ...]


def ground(store: Store, event: int) -> Ground:
    """The land of an event: its site, populations, permissions, days and hours."""
    row = store.events.row(event)
    site = store.places.site(row.site)
    populations = tuple(store.places.populations_of_event(event))
    positions = tuple(store.places.positions([p.id for p in populations]).values())
    today = store.unit.at.astimezone(ZoneInfo(row.time_zone)).date()
    plants = tuple({p.taxon: p.population.taxon for p in populations}.values())
    collecting = row.kind == EventKind.COLLECTING
    outing = Outing(
        site=site.site,
        first=row.day,
        last=row.last_day,
        asked_on=today,
        taxa=plants if collecting else (),
        people=row.capacity if row.stage == "draft" else row.taken,
        vehicles=row.vehicles or None,
        told_on=row.manager_told_on,
    )
    walk_out = timedelta(minutes=row.walk_out_minutes)
    return Ground(
        row,
        site,
        outing,
        Stay(site.site, row.starts_at, row.ends_at + walk_out, positions),
        tuple(store.places.permissions([row.site])),
        populations,
    )


def findings_in(store: Store, event: int) -> list[Finding]:
    """Permission, closures and populations as findings; none for a training or a meeting."""
    return findings_on(store, ground(store, event))


def findings_on(store: Store, land: Ground) -> list[Finding]:
    """The same for land that was read already."""
    if not EventKind(land.event.kind).in_the_field:
        return []
    found = permission_findings(land.permissions, land.outing)
    found += closure_findings(store.places.closures(land.stay.start, land.stay.end), land.stay)
    if land.event.kind == EventKind.COLLECTING:
        found += population_findings(p.population for p in land.populations)
    return found


def papers_in(store: Store, event: int) -> frozenset[str]:
    """Codes of the papers that the land manager demands of everybody on an event."""
    return papers_on(ground(store, event))


def papers_on(land: Ground) -> frozenset[str]:
    """The same for land that was read already."""
    if not EventKind(land.event.kind).in_the_field:
        return frozenset()
    return papers_demanded(land.permissions, land.outing)


def most_people_in(store: Store, event: Event) -> int | None:
    """The land manager's ceiling of people for an event, None where there is none."""
    if not event.kind.in_the_field:
        return None
    found = [
        p.people
        for p in store.places.permissions([event.site])
        if p.people is not None and p.holds_on(event.first_day, event.last_day)
    ]
    return min(found, default=None)
