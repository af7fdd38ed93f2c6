"""Distances against tests/checks/geodesic.csv; areas by hand."""

from math import dist, sqrt

import pytest

from roster.domain.errors import BadInput
from roster.domain.geo import chord_of_km, great_circle_km, in_polygon, unit_vector
from tests.support.checks import rows

SQUARE = ((45.0, -120.0), (45.0, -119.0), (46.0, -119.0), (46.0, -120.0))


def place(row):
    return [float(row[name]) for name in ("lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg")]


@pytest.mark.parametrize("row", rows("geodesic"))
def test_the_great_circle_has_the_length_of_the_table(row):
    km = great_circle_km(*place(row))
    printed = float(row["great_circle_km_R6371_0088"])
    assert km == pytest.approx(printed, abs=max(float(row["tol_great_circle_km"]), 1e-6))
    # the sphere may differ from the ellipsoid by this much and no more; 1 m for the rounding
    metres = float(row["wgs84_distance_m"])
    assert km * 1000 == pytest.approx(
        metres, rel=float(row["tol_sphere_vs_ellipsoid_pct"]) / 100, abs=1
    )


@pytest.mark.parametrize("row", rows("geodesic"))
def test_the_straight_line_between_unit_vectors_says_the_same(row):
    lat1, lon1, lat2, lon2 = place(row)
    chord = dist(unit_vector(lat1, lon1), unit_vector(lat2, lon2))
    assert chord == pytest.approx(chord_of_km(great_circle_km(*place(row))), abs=1e-9)


def test_exact_antipodes_are_half_the_globe_apart():
    assert great_circle_km(12.3, 45.6, -12.3, -134.4) == pytest.approx(20015.114442, abs=1e-4)


def test_a_latitude_beyond_the_pole_is_refused():
    with pytest.raises(BadInput) as caught:
        great_circle_km(90.01, 0, 0, 0)
    assert caught.value.field == "latitude"
    with pytest.raises(BadInput):
        unit_vector(float("nan"), 0)


@pytest.mark.parametrize("turned", [SQUARE, SQUARE[::-1]], ids=["one way round", "the other"])
def test_a_place_on_an_edge_or_corner_is_inside(turned):
    assert in_polygon(45.5, -119.5, turned)
    assert in_polygon(45.0, -119.5, turned)  # southern edge
    assert in_polygon(46.0, -119.5, turned)  # northern edge
    assert in_polygon(45.5, -120.0, turned)  # western edge
    assert in_polygon(46.0, -119.0, turned)  # a corner
    assert not in_polygon(44.9999, -119.5, turned)
    assert not in_polygon(46.0001, -119.5, turned)
    assert not in_polygon(45.5, -120.0001, turned)
    assert not in_polygon(46.0, -118.9999, turned)  # in line with an edge, beyond its corner


def test_a_ray_through_a_corner_counts_once():
    arrow = ((0.0, 0.0), (1.0, 1.0), (0.0, 2.0), (-1.0, 1.0))
    assert in_polygon(0.0, 1.0, arrow)
    assert not in_polygon(0.0, -0.5, arrow)
    assert not in_polygon(1.0, 0.5, arrow)


def test_a_notch_is_outside():
    notched = ((0.0, 0.0), (0.0, 4.0), (4.0, 4.0), (1.0, 2.0), (4.0, 0.0))
    assert in_polygon(0.5, 2.0, notched)
    assert not in_polygon(3.0, 2.0, notched)


def test_an_area_across_the_180th_meridian_holds_places_on_both_sides():
    strait = ((51.0, 179.0), (51.0, -179.0), (53.0, -179.0), (53.0, 179.0))
    assert in_polygon(52.0, 179.5, strait)
    assert in_polygon(52.0, -179.5, strait)
    assert not in_polygon(52.0, 0.0, strait)
    assert not in_polygon(52.0, 178.9, strait)


def test_fewer_than_three_corners_hold_no_place():
    assert not in_polygon(45.0, -120.0, SQUARE[:2])
    assert not in_polygon(45.0, -120.0, ())


def test_a_slanting_edge_is_inside_to_the_tenth_of_a_millimetre():
    slope = ((0.0, 0.0), (0.3, 0.1), (0.0, 0.9))
    assert in_polygon(0.15, 0.05, slope)
    assert not in_polygon(0.15 + 1e-6 * sqrt(0.5), 0.05 - 1e-6, slope)
