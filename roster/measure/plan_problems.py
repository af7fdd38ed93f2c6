"""Made-up seasons to plan, in the documented format, the same from the same seed everywhere.

People live around towns of very unequal size; plants grow in patches, some near towns, some far
from anyone. Certificates lapse in the season, permissions and closures cut the ready window, most
people are free at week-ends, all are away at times. Plants with explosive pods ripen in a few days
and want three visits two days apart. Crew enters as the number that a cell of about 40 km can be
counted on to send each day. RandomState's stream is frozen by numpy's own rule (NEP 19).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

Document = dict[str, Any]
Array = Any
"""An array of numpy."""

FIRST_DAY, DAYS, WEEKDAY = "2027-04-01", 120, 3  # a Thursday; Monday is 0
LAT, LON, KM_PER_DEGREE, CELL_KM, CREW_KM = 38.0, -100.0, 111.2, 40, 80
COUNTED_ON = 0.7
"""Share of the answers to be expected that a plan may use."""

RULES = {
    "ripe_at_least": 0.25, "spacing_days": 7, "after_target": 0.2, "after_first": 0.3,
    "per_event": 0.15, "per_km": 0.002,
    "keep": {"day": 1.0, "lead": 0.5, "data_collector": 0.25}, "frozen_until": 0,
}  # fmt: skip


@dataclass(frozen=True)
class Size:
    """How many of each, on a rectangle of how many km."""

    populations: int
    leads: int
    collectors: int
    volunteers: int
    towns: int
    width: float
    height: float


SIZES = {
    "small": Size(40, 30, 45, 160, 3, 150, 120),
    "medium": Size(400, 300, 450, 2000, 18, 500, 400),
    "national": Size(20000, 10000, 15000, 100000, 500, 4000, 2500),
}


def spans(flags: Array) -> list[list[int]]:
    """The days on which the flags hold, as inclusive pairs."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(np.int8), [0]))))
    return [[int(a), int(b) - 1] for a, b in zip(edges[::2], edges[1::2], strict=True)]


def pick(g: np.random.RandomState, n: int, choices: Array, weights: Array) -> Array:
    """So many draws from the choices."""
    at = np.searchsorted(np.cumsum(weights), g.random_sample(n), side="right")
    return np.asarray(choices)[np.minimum(at, len(choices) - 1)]


class Land:
    """A flat rectangle with towns, laid on the map."""

    def __init__(self, g: np.random.RandomState, size: Size) -> None:
        self.g, self.width, self.height = g, size.width, size.height
        self.x = g.uniform(0, size.width, size.towns)
        self.y = g.uniform(0, size.height, size.towns)
        weight = g.pareto(1.2, size.towns) + 0.3
        self.weight = weight / weight.sum()

    def lat_lon(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Degrees, rounded to about 10 m."""
        x, y = np.clip(x, 0, self.width), np.clip(y, 0, self.height)
        lat = LAT + (y - self.height / 2) / KM_PER_DEGREE
        lon = LON + (x - self.width / 2) / (KM_PER_DEGREE * np.cos(np.radians(LAT)))
        return np.round(lat, 4), np.round(lon, 4)

    def homes(self, n: int) -> tuple[Array, Array]:
        """Homes around the towns."""
        town = pick(self.g, n, np.arange(len(self.x)), self.weight)
        far = pick(self.g, n, [6, 20, 45], [0.6, 0.3, 0.1])
        x = self.x[town] + far * self.g.normal(0, 1, n)
        return self.lat_lon(x, self.y[town] + far * self.g.normal(0, 1, n))

    def patches(self, n: int) -> tuple[Array, Array]:
        """Places of plants: patches of about twelve, three in five within reach of a town."""
        g, k = self.g, max(4, n // 12)
        town, near = g.randint(0, len(self.x), k), g.random_sample(k) < 0.6
        x = np.where(near, self.x[town] + g.normal(0, 45, k), g.uniform(0, self.width, k))
        y = np.where(near, self.y[town] + g.normal(0, 45, k), g.uniform(0, self.height, k))
        patch = g.randint(0, k, n)
        return self.lat_lon(x[patch] + g.normal(0, 10, n), y[patch] + g.normal(0, 10, n))


def free_days(g: np.random.RandomState, n: int) -> Array:
    """One row of days a person: a habit by weekday, less up to three absences."""
    habit = np.zeros((n, 7), bool)
    habit[:, 5], habit[:, 6] = g.random_sample(n) < 0.65, g.random_sample(n) < 0.45
    draws = g.random_sample((n, 5))
    week = np.where(g.random_sample(n) < 0.3, 0.5, 0.1)
    habit[:, :5] = draws < week[:, None]
    habit[~habit.any(axis=1), 5] = True
    day = np.arange(DAYS)
    free = habit[:, (day + WEEKDAY) % 7]
    for _ in range(3):
        start = g.randint(0, DAYS, n)
        often = g.random_sample(n) < 0.6
        length = np.where(often, g.randint(3, 15, n), 0)
        free &= (day < start[:, None]) | (day >= (start + length)[:, None])
    return free


def cleared_days(g: np.random.RandomState, n: int) -> Array:
    """One row of days a person: some certificates lapse, some are made good, a few start late."""
    day = np.arange(DAYS)
    lapse = g.random_sample(n) < 0.12
    ends = np.where(lapse, g.randint(10, DAYS, n), DAYS)
    renewed = g.random_sample(n) < 1 / 3
    again = np.where(renewed, ends + g.randint(7, 30, n), DAYS)
    late = g.random_sample(n) < 0.05
    starts = np.where(late, g.randint(5, 60, n), 0)
    held = (day < ends[:, None]) | (day >= again[:, None])
    return held & (day >= starts[:, None])


def open_days(g: np.random.RandomState, peak: Array) -> Array:
    """One row of days a population: some permissions are late or end early, some sites close."""
    n, day = len(peak), np.arange(DAYS)
    late = g.random_sample(n) < 0.15
    first = np.where(late, np.round(peak + g.normal(0, 12, n)), 0)
    early = g.random_sample(n) < 0.05
    last = np.where(early, np.round(peak + g.normal(2, 8, n)), DAYS)
    closes = g.random_sample(n) < 0.05
    shut = np.where(closes, np.round(peak + g.normal(0, 8, n)), DAYS)
    reopens = shut + g.randint(5, 15, n)
    held = (day >= first[:, None]) & (day <= last[:, None])
    return held & ((day < shut[:, None]) | (day >= reopens[:, None]))


@dataclass(frozen=True)
class Plants:
    """The populations in arrays."""

    lat: Array
    lon: Array
    key: Array
    worth: Array
    pods: Array
    ripe: Array
    amount: Array
    top: Array
    visits: Array
    crew: Array
    open: Array


def grow(g: np.random.RandomState, land: Land, n: int) -> Plants:
    """Populations with species, zone and ready days."""
    lat, lon = land.patches(n)
    south = np.floor((lat - 20) / 2).astype(int)  # zones of two degrees
    west = np.floor((lon + 180) / 2).astype(int)
    kinds, local = max(8, n // 40), max(8, min(10, n // 40))
    species = (g.randint(0, local, n) + 3 * south + 2 * west) % kinds
    worth = np.round(np.exp(g.normal(1.0, 0.6, kinds)), 2)
    pods = (np.arange(kinds) % 7 == 3)[species]  # one species in seven
    peak = g.uniform(15, DAYS - 15, kinds)[species] + g.normal(0, 6, n)
    short, long = g.uniform(4, 9, n), g.uniform(8, 22, n)
    width = np.where(pods, short, long)
    top = g.uniform(0.55, 0.95, n)
    up, down = np.where(pods, 1.0, 2.2)[:, None], np.where(pods, 1.0, 3.0)[:, None]
    day = np.arange(DAYS)
    rise = 1 / (1 + np.exp(-(day - (peak - width / 2)[:, None]) / up))
    fall = 1 / (1 + np.exp((day - (peak + width / 2)[:, None]) / down))
    ripe = np.round(top[:, None] * rise * fall, 3)
    amount = np.round(g.uniform(0.7, 1.3, n), 3)
    visits = np.where(pods, 3, pick(g, n, [1, 2, 3], [0.6, 0.3, 0.1]))
    crew = g.randint(1, 5, n)
    key = np.stack([south, west, species], axis=1)
    return Plants(lat, lon, key, worth, pods, ripe, amount, top, visits, crew, open_days(g, peak))


def targets_of(g: np.random.RandomState, plants: Plants) -> tuple[list[Document], list[str]]:
    """A target for each zone and species, and the one that each population serves."""
    keys, target = np.unique(plants.key, axis=0, return_inverse=True)
    target = target.ravel()
    could = np.zeros(len(keys))
    np.add.at(could, target, plants.amount * plants.top * np.minimum(plants.visits, 2))
    wanted = np.round(np.maximum(0.6, g.uniform(0.35, 0.9, len(keys)) * could), 2)
    names = [f"Z{a}{b:03d} S{s + 1}" for a, b, s in keys.tolist()]
    worth = plants.worth[keys[:, 2]]
    targets = [
        {"id": t, "value": float(v), "amount": float(w)}
        for t, v, w in zip(names, worth, wanted, strict=True)
    ]
    return targets, [names[t] for t in target]


def populations(plants: Plants, served: list[str]) -> list[Document]:
    """The populations as the format has them."""
    out = []
    for i, name in enumerate(served):
        seen = np.flatnonzero(plants.ripe[i] >= 0.02)
        a, b = (seen[0], seen[-1] + 1) if len(seen) else (0, 0)
        p: Document = {
            "id": f"P{i + 1}", "lat": float(plants.lat[i]), "lon": float(plants.lon[i]),
            "target": name, "amount": float(plants.amount[i]), "visits": int(plants.visits[i]),
            "crew": int(plants.crew[i]), "open": spans(plants.open[i]),
            "ripe": {"from": int(a), "share": plants.ripe[i, a:b].tolist()},
        }  # fmt: skip
        out.append(p | {"spacing_days": 2} if plants.pods[i] else p)
    return out


def people(g: np.random.RandomState, land: Land, size: Size) -> list[Document]:
    """Leads first, then data collectors; two leads in five collect data as well."""
    leads, n = size.leads, size.leads + size.collectors
    both = zip(land.homes(leads), land.homes(size.collectors), strict=True)
    lat, lon = (np.concatenate(pair) for pair in both)
    reach = pick(g, n, [30, 50, 80, 120], [0.2, 0.35, 0.3, 0.15])
    limit = pick(g, n, [1, 2, 3, 4], [0.3, 0.4, 0.2, 0.1])
    collects = (np.arange(n) >= leads) | (g.random_sample(n) < 0.4)
    free, as_lead, as_collector = free_days(g, n), cleared_days(g, n), cleared_days(g, n)
    out = []
    for i in range(n):
        q: Document = {
            "id": f"V{i + 1}", "lat": float(lat[i]), "lon": float(lon[i]), "km": int(reach[i]),
            "per_month": int(limit[i]), "free": spans(free[i]),
        }  # fmt: skip
        if i < leads:
            q["lead"] = spans(as_lead[i])
        if collects[i]:
            q["data_collector"] = spans(as_collector[i])
        out.append(q)
    return out


def crew_cells(g: np.random.RandomState, land: Land, volunteers: int) -> list[Document]:
    """Squares of about 40 km with the number of people to count on, each day."""
    lat, lon = land.homes(volunteers)
    answers = np.round(g.uniform(0.15, 0.6, volunteers), 3)
    row = np.round((lat - LAT) * KM_PER_DEGREE / CELL_KM).astype(int)
    east = (lon - LON) * KM_PER_DEGREE * np.cos(np.radians(LAT))
    column = np.round(east / CELL_KM).astype(int)
    cells, cell = np.unique(np.stack([row, column], axis=1), axis=0, return_inverse=True)
    cell = cell.ravel()
    size = np.bincount(cell)
    expected = np.zeros((len(cells), DAYS), np.int64)  # in thousandths: no sum depends on order
    weight = np.round(1000 * answers).astype(np.int64)[:, None]
    np.add.at(expected, cell, free_days(g, volunteers) * weight)
    counted = expected * round(10 * COUNTED_ON) // 10000
    middle = [np.round(np.bincount(cell, weights=z) / size, 4) for z in (lat, lon)]
    return [
        {"id": f"C{k + 1}", "lat": float(middle[0][k]), "lon": float(middle[1][k]), "km": CREW_KM,
         "people": counted[k].tolist()}
        for k in range(len(cells))
    ]  # fmt: skip


def make(seed: int, size: str) -> Document:
    """The season of that seed and size: small, medium or national."""
    g, wanted = np.random.RandomState(seed), SIZES[size]
    land = Land(g, wanted)
    plants = grow(g, land, wanted.populations)
    targets, served = targets_of(g, plants)
    return {
        "format": "roster-plan-1", "first_day": FIRST_DAY, "day_count": DAYS, "rules": RULES,
        "targets": targets, "populations": populations(plants, served),
        "people": people(g, land, wanted),
        "crew_cells": crew_cells(g, land, wanted.volunteers), "promised": [],
    }  # fmt: skip
