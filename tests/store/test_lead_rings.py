"""Rings of cells round a place: nobody within a ring lives outside its cells."""

from __future__ import annotations

import random
from datetime import date
from math import cos

import pytest

from roster.domain.geo import great_circle_km, unit_vector
from roster.domain.matching import km_of_cosine
from roster.store.held import cell_of
from roster.store.lead_rings import rings, statement
from roster.store.lead_values import Reach

DAY = date(2027, 6, 20)
SITE = (46.9, -117.05)


@pytest.mark.parametrize("lon", [-179.9, 179.9, 0.0, -117.05])
@pytest.mark.parametrize("lat", [46.9, -46.9, 0.0, 79.9, 85.0])
def test_the_cells_of_a_ring_hold_every_place_within_it(lat, lon):
    dice = random.Random(11)  # noqa: S311 - not for secrets
    first = next(rings(Reach("lead", DAY, unit_vector(lat, lon))))
    seen = 0
    for _ in range(2000):
        there = (lat + dice.uniform(-0.6, 0.6), lon + dice.uniform(-6, 6))
        there = (min(89.9, there[0]), (there[1] + 180) % 360 - 180)
        if great_circle_km(lat, lon, *there) > 45:
            continue
        seen += 1
        cell = cell_of(unit_vector(*there))
        assert not first.runs or any(low <= cell <= high for low, high in first.runs)
    assert seen > 20


def test_rings_grow_until_the_reach_and_then_end_with_it():
    at = unit_vector(*SITE)
    sizes = [round(km_of_cosine(r.least)) for r in rings(Reach("crew_member", DAY, at))]
    assert sizes == [15, 60, 240, 20015]
    near = list(rings(Reach("crew_member", DAY, at, least=cos(100 / 6371.0088))))
    assert [round(km_of_cosine(r.least)) for r in near] == [15, 60, 100]
    assert near[-1].runs


def test_the_statement_of_a_ring_is_made_once_for_each_number_of_runs():
    ring = next(rings(Reach("lead", DAY, unit_vector(*SITE))))
    first, values = statement(ring)
    again, _ = statement(ring)
    assert first is again
    assert [values["f0"], values["l0"]] == list(ring.runs[0])
    assert len(values) == 2 * 8
    assert [values["f7"], values["l7"]] == [0, -1]
