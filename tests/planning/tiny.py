"""Tiny random seasons in the documented format, and their best value by trying everything.

Works on the plain document with its own distance and its own rules; uses nothing of the planner.
"""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import combinations
from math import asin, cos, radians, sin, sqrt
from random import Random
from typing import Any

Document = dict[str, Any]
Outing = tuple[str, int, str, str]


def season(seed: int) -> Document:
    """A season with at most 12 open days of populations, short of nearly everything."""
    g = Random(seed)  # noqa: S311
    days = g.randint(4, 8)
    spots = [(46.0 + g.uniform(-0.5, 0.5), -117.0 + g.uniform(-0.5, 0.5)) for _ in range(6)]
    targets = [
        {"id": f"T{i}", "value": _some(g, 0.5, 3), "amount": _some(g, 0.2, 2.0)}
        for i in range(g.randint(1, 2))
    ]
    populations, left = [], 12
    for i in range(g.randint(2, 4)):
        spans = _spans(g, days, min(left, 4))
        left -= sum(b - a + 1 for a, b in spans)
        lat, lon = g.choice(spots)
        p: Document = {
            "id": f"P{i}", "lat": lat, "lon": lon, "target": g.choice(targets)["id"],
            "amount": round(g.uniform(0.5, 2), 2), "visits": g.randint(1, 3),
            "crew": g.randint(0, 3), "open": spans,
            "ripe": {"from": g.randint(-1, 1),
                     "share": [round(g.uniform(0.15, 1), 2) for _ in range(days)]},
        }  # fmt: skip
        populations.append(p | ({"spacing_days": g.randint(0, 3)} if g.random() < 0.5 else {}))
    people = [_person(g, i, days, spots) for i in range(g.randint(3, 6))]
    cells = []
    for k in range(g.randint(1, 3)):
        lat, lon = g.choice(spots)
        cells.append({"id": f"C{k}", "lat": lat, "lon": lon, "km": g.choice([40, 80, 150]),
                      "people": [g.randint(0, 4) for _ in range(days)]})  # fmt: skip
    frozen = g.choice([0, 0, 1, 2])
    return {
        "format": "roster-plan-1",
        "first_day": (date(2027, 6, 30) - timedelta(days=g.randint(0, 3))).isoformat(),
        "day_count": days,
        "rules": {
            "ripe_at_least": 0.25, "spacing_days": g.randint(1, 4),
            "after_target": g.choice([0, 0.2, 1]), "after_first": g.choice([0.0, 0.3]),
            "per_event": g.choice([0, 0.15]), "per_km": g.choice([0.0, 0.002, 0.01]),
            "keep": {"day": round(g.uniform(0, 1), 2), "lead": round(g.uniform(0, 0.6), 2),
                     "data_collector": 0.25}, "frozen_until": frozen,
        },
        "targets": targets, "populations": populations, "people": people, "crew_cells": cells,
        "promised": _promises(g, populations, people, days),
    }  # fmt: skip


def _some(g: Random, low: float, high: float) -> float:
    return round(g.uniform(low, high), 2)


def _spans(g: Random, days: int, most: int) -> list[list[int]]:
    spans: list[list[int]] = []
    day = g.randint(-2, 2)
    while most > 0 and day < days + 2:
        length = g.randint(1, most)
        spans.append([day, day + length - 1])
        most -= length
        day += length + g.randint(1, 3)
    return spans


def _person(g: Random, i: int, days: int, spots: list[tuple[float, float]]) -> Document:
    lat, lon = g.choice(spots)
    q: Document = {"id": f"V{i}", "lat": lat, "lon": lon, "km": g.choice([35, 80, 150]),
                   "per_month": g.choice([0, 1, 1, 2, 2, 3])}  # fmt: skip
    q["free"] = [[0, days // 2], [days // 2 + 1, days]]
    if g.random() < 0.3:
        q["free"] = [[g.randint(0, 2), days + 3]]
    if g.random() < 0.8:
        q["lead"] = [[0, g.randint(days // 2, days)]]
    if g.random() < 0.7 or "lead" not in q:
        q["data_collector"] = [[g.randint(0, 1), days]]
    return q


def _promises(
    g: Random, populations: list[Document], people: list[Document], days: int
) -> list[Document]:
    found = {}
    for _ in range(g.choice([0, 1, 2, 3])):
        p, d = g.choice(populations)["id"], g.randrange(days)
        lead, other = g.sample([q["id"] for q in people], 2)
        found[p, d] = {"population": p, "day": d, "lead": lead, "data_collector": other}
    return list(found.values())


def km(a: Document, b: Document) -> float:
    """Haversine on the sphere of the documented radius."""
    u, v = radians(a["lat"]), radians(b["lat"])
    h = sin((v - u) / 2) ** 2 + cos(u) * cos(v) * sin(radians(b["lon"] - a["lon"]) / 2) ** 2
    return 2 * 6371.0088 * asin(min(1.0, sqrt(h)))


class Trial:
    """One season, tried in every way."""

    def __init__(self, document: Document) -> None:
        self.d, self.rules, self.n = document, document["rules"], document["day_count"]
        self.plants = {p["id"]: p for p in document["populations"]}
        self.people = {q["id"]: q for q in document["people"]}
        self.targets = {t["id"]: t for t in document["targets"]}
        first = date.fromisoformat(document["first_day"])
        self.month = [(first + timedelta(days=i)).month for i in range(self.n)]
        self.frozen = [m for m in document["promised"] if m["day"] < self.rules["frozen_until"]]
        self.start = [(m["population"], m["day"], m["lead"], m["data_collector"])
                      for m in self.frozen]  # fmt: skip
        self.visits = [(p, d) for p in self.plants for d in range(self.n) if self.open(p, d)]
        self.best = self.value(self.start)
        self.plan = list(self.start)

    def share(self, p: str, d: int) -> float:
        ripe = self.plants[p]["ripe"]
        at = d - ripe["from"]
        return ripe["share"][at] if 0 <= at < len(ripe["share"]) else 0.0

    def open(self, p: str, d: int) -> bool:
        held = any(a <= d <= b for a, b in self.plants[p].get("open", []))
        late = d >= self.rules["frozen_until"]
        return held and late and self.share(p, d) >= self.rules["ripe_at_least"]

    def able(self, q: Document, role: str, p: str, d: int) -> bool:
        free = any(a <= d <= b for a, b in q.get("free", []))
        cleared = any(a <= d <= b for a, b in q.get(role, []))
        return free and cleared and km(self.plants[p], q) <= q["km"] + 1e-9

    def value(self, plan: list[Outing]) -> float:
        r, total = self.rules, 0.0
        target: Counter[str] = Counter()
        own: dict[str, float] = Counter()
        for p, d, lead, other in plan:
            t = self.targets[self.plants[p]["target"]]
            a = self.plants[p]["amount"] * self.share(p, d)
            way = km(self.plants[p], self.people[lead]) + km(self.plants[p], self.people[other])
            total += t["value"] * a - r["per_event"] - 2 * r["per_km"] * way
            target[t["id"]] += a
            own[p] += a
        for t, a in target.items():
            over = max(0.0, a - self.targets[t]["amount"])
            total -= (1 - r["after_target"]) * self.targets[t]["value"] * over
        for p, a in own.items():
            over = max(0.0, a - self.plants[p]["amount"])
            total -= (1 - r["after_first"]) * self.targets[self.plants[p]["target"]]["value"] * over
        at = {(p, d): (lead, other) for p, d, lead, other in plan}
        for m in self.d["promised"]:
            kept = at.get((m["population"], m["day"]))
            total -= r["keep"]["day"] if kept is None else 0
            for i, role in enumerate(("lead", "data_collector")):
                total -= r["keep"][role] if kept is None or kept[i] != m[role] else 0
        return total

    def crewed(self, plan: list[Outing]) -> bool:
        """Hall's condition, day by day: every set of outings finds its crew in cells near it."""
        for day in {o[1] for o in plan if o[1] >= self.rules["frozen_until"]}:
            today = [o[0] for o in plan if o[1] == day]
            for size in range(1, len(today) + 1):
                for some in combinations(today, size):
                    there = sum(c["people"][day] for c in self._near(some))
                    if there < sum(self.plants[p]["crew"] for p in some):
                        return False
        return True

    def _near(self, some: tuple[str, ...]) -> list[Document]:
        cells = self.d["crew_cells"]
        return [c for c in cells if any(km(self.plants[p], c) <= c["km"] + 1e-9 for p in some)]

    def fits(self, plan: list[Outing], p: str, d: int) -> bool:
        mine = [o[1] for o in plan if o[0] == p]
        apart = max(1, self.plants[p].get("spacing_days", self.rules["spacing_days"]))
        return len(mine) < self.plants[p]["visits"] and all(abs(d - o) >= apart for o in mine)

    def spare(self, plan: list[Outing], q: str, d: int) -> bool:
        mine = [o[1] for o in plan if q in o[2:]]
        month = sum(self.month[o] == self.month[d] for o in mine)
        return d not in mine and month < self.people[q]["per_month"]

    def most(self, i: int) -> float:
        """What the visits from the i-th on could add at the very most."""
        keep = sum(self.rules["keep"].values())
        promised = {(m["population"], m["day"]) for m in self.d["promised"]}
        return sum(
            max(0.0, self.worth(p, d) + (keep if (p, d) in promised else 0))
            for p, d in self.visits[i:]
        )

    def worth(self, p: str, d: int) -> float:
        plant = self.plants[p]
        return self.targets[plant["target"]]["value"] * plant["amount"] * self.share(p, d)

    def search(self, i: int, plan: list[Outing]) -> None:
        if i == len(self.visits):
            return
        if self.value(plan) + self.most(i) <= self.best:
            return
        p, d = self.visits[i]
        for lead, other in self.pairs(plan, p, d):
            longer = [*plan, (p, d, lead, other)]
            if self.crewed(longer):
                if self.value(longer) > self.best:
                    self.best, self.plan = self.value(longer), longer
                self.search(i + 1, longer)
        self.search(i + 1, plan)

    def pairs(self, plan: list[Outing], p: str, d: int) -> list[tuple[str, str]]:
        if not self.fits(plan, p, d):
            return []
        spare = [q for q in self.people.values() if self.spare(plan, q["id"], d)]
        return [
            (lead["id"], other["id"])
            for lead in spare
            for other in spare
            if lead is not other
            and self.able(lead, "lead", p, d)
            and self.able(other, "data_collector", p, d)
        ]


def best_value(document: Document) -> float:
    """The best value of all plans that keep every rule."""
    trial = Trial(document)
    trial.search(0, trial.start)
    return trial.best
