"""Seed zone labels as published; the outside rows name their source in their last column."""

import csv
from pathlib import Path

import pytest

from roster.domain.errors import BadInput
from roster.domain.zones import Band, Zone, zone_bands

FILE = Path(__file__).parent.parent / "checks" / "seed_zone_labels.csv"
TABLE = FILE.read_text(encoding="utf-8")
ROWS = list(csv.DictReader(TABLE.splitlines()))


def code(name):
    return None if name.startswith("(") else name.replace(" ", "_").replace("-", "_")


@pytest.mark.parametrize("row", ROWS, ids=[row["label"] for row in ROWS])
def test_a_published_label_names_its_two_bands(row):
    zone = Zone(row["label"])
    assert zone.label == row["label"]
    assert str(zone.temperature) == row["winter_min_temp_band_F"]
    assert str(zone.moisture) == row["heat_moisture_band"]
    wanted = (code(row["informal_temp_name"]), code(row["informal_moisture_name"]))
    assert zone.informal_names == wanted


def test_either_half_may_be_open():
    # "> 55 Deg. F." is a published temperature class; the moisture half is from memory.
    assert zone_bands("> 55 Deg. F. / < 2") == (Band(55, None), Band(None, 2))


@pytest.mark.parametrize("label", ["Blue Mountains", "20-25 Deg. F. / 3-6", "20 - 25 F / 3 - 6"])
def test_a_label_of_another_kind_is_kept_and_has_no_bands(label):
    zone = Zone(label, kind="species")
    assert zone.label == label
    assert zone.temperature is None
    assert zone.moisture is None
    assert zone.informal_names == (None, None)


def test_a_zone_without_a_label_is_refused():
    with pytest.raises(BadInput) as caught:
        Zone("  ")
    assert caught.value.reason.code == "zone_label_empty"
