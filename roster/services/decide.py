"""To decide: what stands before a coordinator now, each row with its one next step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from roster.domain.decide import (
    Decision,
    RipeSoon,
    Standing,
    decision,
    in_order,
    unserved,
    without_region,
)
from roster.domain.event_times import expected_back_at, overdue_clock_at
from roster.domain.people import Actor
from roster.services import clock, lead_ranking
from roster.services.plants import window_of
from roster.store.event_values import StandingRow
from roster.store.plant_values import PlantFilter, PopulationRow
from roster.store.registry import Store
from roster.store.transaction import read

LOOK_AHEAD_DAYS = 60
RIPE_WITHIN_DAYS = 14
RIPE_AT_LEAST = 0.5
LOOKED_FOR_LEADS = 3
"""For so many of the soonest events without a lead the first of the ranking is named."""
MOST_EVENTS = 300
MOST_RIPE = 10


@dataclass(frozen=True)
class ToDecide:
    """The rows in order; the events that are clear; how many people are out; whose regions."""

    rows: tuple[Decision, ...]
    clear: tuple[StandingRow, ...]
    out: int
    now: datetime
    time_zone: str
    regions: tuple[str, ...]
    days: tuple[date, ...]


def to_decide(actor: Actor) -> ToDecide:
    """What stands to decide in the actor's regions (the programme's coordinator: in all)."""
    now = clock.now()

    def body(store: Store) -> ToDecide:
        mine = None if actor.is_coordinator else actor.regions
        programme = store.programme.the_one()
        zone = ZoneInfo(programme.time_zone) if programme else UTC
        today = now.astimezone(zone).date()
        last = today + timedelta(days=LOOK_AHEAD_DAYS)
        found = store.events.standings(mine, last, limit=MOST_EVENTS)
        rows, clear = _events(store, found, now)
        rows += unserved(_ripe(store, mine, today), now)
        if mine is None:
            rows += without_region(store.events.people_without_region(), now)
        named = [r.name for r in store.places.regions() if mine is None or r.id in mine]
        return ToDecide(
            rows=tuple(in_order(rows)),
            clear=tuple(clear),
            out=sum(row.out for row in found),
            now=now,
            time_zone=programme.time_zone if programme else "UTC",
            regions=() if mine is None else tuple(named),
            days=tuple(sorted({row.day for row in found})),
        )

    return read(body)


def _events(
    store: Store, found: Sequence[StandingRow], now: datetime
) -> tuple[list[Decision], list[StandingRow]]:
    rows: list[Decision] = []
    clear: list[StandingRow] = []
    looked = 0
    for row in found:
        standing = _with_clock(row, row.standing())
        told = decision(standing, now)
        if told is None:
            clear.append(row)
            continue
        if told.headline.code == "event_without_lead" and looked < LOOKED_FOR_LEADS:
            looked += 1
            best = lead_ranking.ranked_in(store, row.event, 1).matches
            name = best[0].candidate.name if best else ""
            told = decision(replace(standing, best_lead=name), now) or told
        rows.append(told)
    return rows, clear


def _with_clock(row: StandingRow, standing: Standing) -> Standing:
    if not row.out:
        return standing
    back = expected_back_at(row.ends_at, row.walk_out_minutes)
    clock_at = overdue_clock_at(back, row.minutes_to_signal)
    return replace(standing, back_at=back, clock_at=clock_at)


def _ripe(store: Store, regions: frozenset[int] | None, today: date) -> list[RipeSoon]:
    """Populations with a good day within two weeks, a permission for it, and no event."""
    season = store.programme.season_of(today)
    if season is None:
        return []
    last = today + timedelta(days=RIPE_WITHIN_DAYS)
    wanted = PlantFilter(regions, season.id)
    rows = store.places.ripe_candidates(wanted, today - timedelta(days=30), last)
    served = store.places.populations_with_event(
        [r.id for r in rows], today - timedelta(days=7), today + timedelta(days=LOOK_AHEAD_DAYS)
    )
    free = [r for r in rows if r.id not in served and r.wild]
    permissions = store.places.permissions({r.site for r in free})
    ripe = []
    for row in free:
        soon = _best(row, today)
        if soon is not None and any(
            p.site == row.site and row.taxon in p.taxa and p.holds_on(soon.best_day)
            for p in permissions
        ):
            ripe.append(soon)
    return ripe[:MOST_RIPE]


def _best(row: PopulationRow, today: date) -> RipeSoon | None:
    window = window_of(row)
    if window is None:
        return None
    days = [today + timedelta(days=i) for i in range(RIPE_WITHIN_DAYS + 1)]
    best = max(days, key=lambda d: (window.chance_on(d), -d.toordinal()))
    chance = window.chance_on(best)
    if chance < RIPE_AT_LEAST:
        return None
    at = datetime.combine(best, time(7), ZoneInfo(row.time_zone)).astimezone(UTC)
    return RipeSoon(row.id, row.site, row.title, best, at, chance)
