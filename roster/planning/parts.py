"""Parts of a season that are planned anew while the rest stays: runs of days, and country.

A part is a choice of visits. Small enough that the solver finishes it, and overlapping, so that
what is stuck at the edge of one part lies in the middle of another.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from roster.planning.candidates import Candidates, Posts
from roster.planning.model import Layout
from roster.planning.season import Flags, Floats, Ints

DAYS = 14
SHARE = 16
"""A part of country holds about one in so many visits."""


def parts(c: Candidates) -> list[Flags]:
    """Runs of two weeks, a week apart, and stretches of country around far-apart populations."""
    days = [(c.day >= d) & (c.day < d + DAYS) for d in range(0, c.season.days, DAYS // 2)]
    return [one for one in [*days, *_country(c)] if one.any()]


def _country(c: Candidates) -> Iterator[Flags]:
    plants, counts = np.unique(c.plant, return_counts=True)
    where = np.array([_on_a_plane(c, int(p)) for p in plants])
    middle = 0
    far = np.full(len(plants), np.inf)
    for _ in range(min(2 * SHARE, len(plants))):
        away = ((where - where[middle]) ** 2).sum(axis=1)
        order = np.argsort(away, kind="stable")
        held = np.cumsum(counts[order]) <= max(int(counts[middle]), c.count // SHARE)
        yield np.isin(c.plant, plants[order[held]])
        far = np.minimum(far, away)
        middle = int(far.argmax())


def _on_a_plane(c: Candidates, plant: int) -> tuple[float, float]:
    p = c.season.problem.populations[plant]
    return p.lat, p.lon * float(np.cos(np.radians(p.lat)))


def columns_of(c: Candidates, at: Layout, visits: Flags) -> Flags:
    """The columns that decide about those visits: chosen or not, lead, data collector."""
    inside = np.zeros(at.end, dtype=np.bool_)
    inside[: at.leads] = visits
    _posts(inside, c.leads, at.leads, visits)
    _posts(inside, c.collectors, at.collectors, visits)
    return inside


def _posts(inside: Flags, posts: Posts, start: int, visits: Flags) -> None:
    inside[start : start + len(posts.visit)] = visits[posts.visit]


def order_of(count: int, seed: int) -> Ints:
    """The parts in an order that the seed decides."""
    return np.random.RandomState(seed).permutation(count).astype(np.int64)


def fixed_outside(values: Floats, inside: Flags, whole: Flags) -> Flags:
    """The columns that stay chosen because they lie outside the part."""
    return np.asarray(whole & ~inside & (values > 0.5))
