"""Closures of an area, a site or a road."""

from datetime import UTC, datetime, timedelta

import pytest

from roster.domain.closures import Closure, Stay, closure_findings, closures_touching
from roster.domain.errors import BadInput
from roster.domain.land import Site
from roster.domain.reasons import Level

BUTTE = Site(7, "Marrow Butte", 46.9, -117.05, "UTC", roads=frozenset({"Ridge Road"}))
START = datetime(2027, 6, 20, 14, 0, tzinfo=UTC)
END = START + timedelta(hours=6)
STAY = Stay(BUTTE, START, END)
AROUND = ((46.5, -117.5), (46.5, -116.5), (47.5, -116.5), (47.5, -117.5))
ELSEWHERE = ((45.0, -120.0), (45.0, -119.0), (45.8, -119.0), (45.8, -120.0))


def closure(**changed):
    values = {"id": 1, "kind": "fire", "from_at": START - timedelta(days=1), "site": 7}
    values |= changed
    if values.get("area") or values.get("road"):
        values["site"] = changed.get("site")
    return Closure(**values)


def test_a_closed_site_stops_until_it_is_lifted():
    found = closure_findings([closure()], STAY)
    assert [(f.level, f.reason.code) for f in found] == [(Level.STOP, "closed_until_lifted")]


def test_a_closed_area_stops_the_site_inside_and_no_other():
    inside, outside = closure(area=AROUND), closure(id=2, area=ELSEWHERE)
    assert closures_touching([inside, outside], STAY) == [inside]


def test_a_closed_area_stops_a_population_inside_though_the_meeting_point_is_outside():
    stay = Stay(BUTTE, START, END, positions=((45.4, -119.5),))
    assert closures_touching([closure(area=ELSEWHERE)], stay) == [closure(area=ELSEWHERE)]


def test_a_closed_road_stops_the_sites_behind_it_however_it_is_written():
    assert closures_touching([closure(road="ridge road")], STAY)
    assert not closures_touching([closure(road="River Road")], STAY)


@pytest.mark.parametrize(
    ("from_at", "until_at", "touches"),
    [
        (END, None, False),
        (END - timedelta(minutes=1), None, True),
        (START - timedelta(days=2), START, False),
        (START - timedelta(days=2), START + timedelta(minutes=1), True),
    ],
    ids=["begins as they leave", "begins before", "ends as they arrive", "ends after"],
)
def test_a_closure_touches_a_stay_that_it_overlaps(from_at, until_at, touches):
    assert bool(closures_touching([closure(from_at=from_at, until_at=until_at)], STAY)) is touches


def test_no_closure_is_said_too():
    assert [f.reason.code for f in closure_findings([], STAY)] == ["no_closure"]


def test_a_closure_names_exactly_one_place():
    with pytest.raises(BadInput):
        Closure(1, "fire", START, site=7, road="Ridge Road")
    with pytest.raises(BadInput):
        Closure(1, "fire", START)


def test_a_closure_that_ends_before_it_begins_is_refused():
    with pytest.raises(BadInput) as caught:
        closure(until_at=START - timedelta(days=1))
    assert caught.value.field == "until_at"
