"""Heat index, wind chill, smoke, work and rest, against the published tables in tests/checks."""

from decimal import Decimal

import pytest

from roster.domain.errors import BadInput
from roster.domain.weather import (
    adjusted_air_f,
    aqi_category,
    aqi_from_pm25,
    displayed,
    heat_category,
    heat_index_f,
    osha_heat_level,
    wind_chill_f,
    work_rest_minutes,
    work_rest_schedule,
)
from tests.support.checks import rows


@pytest.mark.parametrize("row", rows("heat_index"))
def test_the_heat_index_is_the_full_published_algorithm(row):
    index = heat_index_f(float(row["temp_f"]), float(row["rh_pct"]))
    assert index == pytest.approx(float(row["full_algorithm_hi_f"]), abs=0.001)
    if row["chart_hi_f"]:
        assert index == pytest.approx(float(row["chart_hi_f"]), abs=float(row["tol_vs_chart_f"]))
    shown = displayed(index)
    assert shown == int(row["display_hi_f"])
    assert heat_category(shown) == row["nws_category_from_display"]
    assert heat_category(index) == row["nws_category_from_unrounded"]
    assert osha_heat_level(shown) == row["osha_2012_level_from_display"]


@pytest.mark.parametrize(
    ("shown", "category"),
    [
        (79, "none"),
        (80, "caution"),
        (89, "caution"),
        (90, "extreme_caution"),
        (102, "extreme_caution"),
        (103, "danger"),
        (124, "danger"),
        (125, "extreme_danger"),
    ],
)
def test_a_value_on_a_bound_belongs_to_the_hotter_class(shown, category):
    assert heat_category(shown) == category


@pytest.mark.parametrize(
    ("shown", "level"),
    [
        (90, "lower"),
        (91, "moderate"),
        (102, "moderate"),
        (103, "high"),
        (115, "high"),
        (116, "very_high_to_extreme"),
    ],
)
def test_the_levels_of_the_osha_guide_change_at_its_bounds(shown, level):
    assert osha_heat_level(shown) == level


@pytest.mark.parametrize("row", rows("wind_chill"))
def test_the_wind_chill_is_the_formula_of_2001_where_it_holds(row):
    air = float(row["temp_f"])
    chill = wind_chill_f(air, float(row["wind_mph"]))
    assert chill == pytest.approx(float(row["formula_wind_chill_f"]), abs=0.001)
    assert (row["applies"] == "no") == (chill == air)
    if row["chart_wind_chill_f"]:
        chart = float(row["chart_wind_chill_f"])
        assert chill == pytest.approx(chart, abs=float(row["tol_vs_chart_f"]))


@pytest.mark.parametrize("row", rows("aqi_pm25"))
def test_the_index_of_fine_particles_is_that_of_2024(row):
    aqi = aqi_from_pm25(float(row["pm25_ug_m3"]))
    assert aqi == int(row["aqi"])
    assert aqi_from_pm25(Decimal(row["pm25_ug_m3"])) == aqi
    assert aqi_category(aqi) == row["category"]
    if row["published_aqi"]:
        assert abs(aqi - int(row["published_aqi"])) <= int(row["tolerance_aqi"])


def test_a_concentration_is_truncated_and_never_rounded():
    """All one-decimal values to 500: a multiple of 0.1 that floats cannot hold stays itself."""
    for tenths in range(5001):
        exact = Decimal(tenths) / 10
        assert (
            aqi_from_pm25(tenths / 10)
            == aqi_from_pm25(exact)
            == aqi_from_pm25(exact + Decimal("0.09"))
        )


@pytest.mark.parametrize("row", rows("work_rest"))
def test_work_and_rest_are_the_minutes_of_the_table(row):
    air, load = float(row["adjusted_air_temp_f"]), row["work_load"]
    minutes = (
        (int(row["work_min_per_h"]), int(row["rest_min_per_h"])) if row["rest_min_per_h"] else None
    )
    assert work_rest_minutes(air, load) == minutes
    assert work_rest_schedule(air, load) == row["schedule"]


def test_beyond_the_table_mild_air_is_normal_and_hot_air_is_caution():
    assert work_rest_schedule(70, "heavy") == "normal"
    assert work_rest_schedule(130, "light") == "caution"
    assert work_rest_schedule(105.1, "heavy") == "caution"  # part of a degree counts as the next
    assert work_rest_schedule(105.0, "heavy") == "15/45"


def test_air_is_adjusted_for_sun_and_humidity():
    """From memory of the notes under the NIOSH table."""
    assert adjusted_air_f(90, "full") == 103
    assert adjusted_air_f(90, "none", 60) == 99
    assert adjusted_air_f(90, "part", 10) == 89
    assert adjusted_air_f(90, "none", 100) == 99


@pytest.mark.parametrize(
    ("rule", "reading", "field"),
    [
        (
            heat_index_f,
            (
                90,
                101,
            ),
            "humidity",
        ),
        (
            heat_index_f,
            (
                float("nan"),
                50,
            ),
            "air_f",
        ),
        (
            wind_chill_f,
            (
                20,
                -1,
            ),
            "wind_mph",
        ),
        (aqi_from_pm25, (-0.1,), "pm25"),
        (aqi_from_pm25, (float("inf"),), "pm25"),
        (
            work_rest_minutes,
            (
                95,
                "hard",
            ),
            "workload",
        ),
        (
            adjusted_air_f,
            (
                95,
                "sunny",
            ),
            "sun",
        ),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_its_field(rule, reading, field):
    with pytest.raises(BadInput) as caught:
        rule(*reading)
    assert caught.value.field == field
