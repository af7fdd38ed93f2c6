"""Distances and areas on the globe; degrees, north and east positive; kilometres."""

from __future__ import annotations

from collections.abc import Sequence
from math import asin, cos, pi, radians, sin, sqrt

from roster.domain.ranges import at_least, within

EARTH_KM = 6371.0088
"""Mean radius R1 of the WGS 84 ellipsoid (Moritz 2000, Geodetic Reference System 1980)."""

EDGE_DEGREES = 1e-9
"""A point so near an edge (about 0.1 mm) is on it."""

Point = tuple[float, float]
"""Latitude and longitude."""


def great_circle_km(lat1: float, lon1: float, lat2: float, lon2: float) -> float:
    """The shortest way over a sphere of mean radius, in kilometres ("as the crow flies").

    Haversine; at most about 0.6 % away from the length over the ellipsoid, and no road distance.
    """
    phi1, phi2 = radians(_latitude(lat1)), radians(_latitude(lat2))
    dphi, dlambda = phi2 - phi1, radians(_longitude(lon2) - _longitude(lon1))
    half = sin(dphi / 2) ** 2 + cos(phi1) * cos(phi2) * sin(dlambda / 2) ** 2
    return 2 * EARTH_KM * asin(min(1.0, sqrt(half)))  # rounding may pass 1 at the antipode


def unit_vector(lat: float, lon: float) -> tuple[float, float, float]:
    """The place as x, y, z on a sphere of radius 1: nearer places have the larger dot product."""
    phi, lam = radians(_latitude(lat)), radians(_longitude(lon))
    return cos(phi) * cos(lam), cos(phi) * sin(lam), sin(phi)


def chord_of_km(km: float) -> float:
    """The straight line between the unit vectors of two places that are so far apart."""
    return 2 * sin(min(at_least("km", km, 0) / EARTH_KM, pi) / 2)


def in_polygon(lat: float, lon: float, polygon: Sequence[Point]) -> bool:
    """Whether the place lies in the area; a place on an edge or corner counts as inside.

    Ray casting along the parallel; edges are straight in degrees. The polygon closes itself,
    may be drawn either way round and may cross the 180th meridian; fewer than three corners hold
    no place.
    """
    if len(polygon) < 3:
        return False
    _latitude(lat)
    corners = _unwrapped(polygon)
    west = min(x for _, x in corners)
    east = max(x for _, x in corners)
    around = [lon + turn for turn in (-360, 0, 360)]
    return any(
        _inside(lat, x, corners) for x in around if west - EDGE_DEGREES <= x <= east + EDGE_DEGREES
    )


point_in_polygon = in_polygon


def _unwrapped(polygon: Sequence[Point]) -> list[Point]:
    """The corners with longitudes that never jump by more than half a turn."""
    corners = [(_latitude(polygon[0][0]), polygon[0][1])]
    for lat, lon in polygon[1:]:
        before = corners[-1][1]
        while lon - before > 180:
            lon -= 360
        while lon - before < -180:
            lon += 360
        corners.append((_latitude(lat), lon))
    return corners


def _inside(lat: float, lon: float, corners: Sequence[Point]) -> bool:
    inside = False
    for (lat1, lon1), (lat2, lon2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if _on_edge(lat, lon, (lat1, lon1), (lat2, lon2)):
            return True
        # half-open in latitude, so a corner at the ray's height counts for one of its two edges
        if (lat1 > lat) != (lat2 > lat) and lon < lon1 + (lat - lat1) * (lon2 - lon1) / (
            lat2 - lat1
        ):
            inside = not inside
    return inside


def _on_edge(lat: float, lon: float, start: Point, end: Point) -> bool:
    (lat1, lon1), (lat2, lon2) = start, end
    dlat, dlon = lat2 - lat1, lon2 - lon1
    squared = dlat * dlat + dlon * dlon
    along = 0.0
    if squared:
        along = min(1.0, max(0.0, ((lat - lat1) * dlat + (lon - lon1) * dlon) / squared))
    away = (lat - lat1 - along * dlat) ** 2 + (lon - lon1 - along * dlon) ** 2
    return away <= EDGE_DEGREES**2


def _latitude(lat: float) -> float:
    return within("latitude", lat, -90, 90)


def _longitude(lon: float) -> float:
    return within("longitude", lon, -360, 360)
