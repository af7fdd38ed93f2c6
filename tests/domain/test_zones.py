"""Seed zone labels as published; source of the rows: checks/seed_zone_labels.csv, quoted here."""

import pytest

from roster.domain.errors import BadInput
from roster.domain.zones import Band, Zone, zone_bands

# Labels seen in public research code that reads the published zone layer (2013 WWETAC layer);
# the whole outside table, row by row.
PUBLISHED = [
    ("0 - 5 Deg. F. / 3 - 6", "0 - 5", "3 - 6", "very_cold", "semi_humid"),
    ("5 - 10 Deg. F. / 3 - 6", "5 - 10", "3 - 6", "cold", "semi_humid"),
    ("5 - 10 Deg. F. / 6 - 12", "5 - 10", "6 - 12", "cold", "semi_arid"),
    ("10 - 15 Deg. F. / 3 - 6", "10 - 15", "3 - 6", "cool", "semi_humid"),
    ("10 - 15 Deg. F. / 6 - 12", "10 - 15", "6 - 12", "cool", "semi_arid"),
    ("15 - 20 Deg. F. / 2 - 3", "15 - 20", "2 - 3", "warm", "humid"),
    ("15 - 20 Deg. F. / 3 - 6", "15 - 20", "3 - 6", "warm", "semi_humid"),
    ("15 - 20 Deg. F. / 6 - 12", "15 - 20", "6 - 12", "warm", "semi_arid"),
    ("20 - 25 Deg. F. / < 2", "20 - 25", "< 2", "very_warm", None),
    ("20 - 25 Deg. F. / 3 - 6", "20 - 25", "3 - 6", "very_warm", "semi_humid"),
    ("20 - 25 Deg. F. / 6 - 12", "20 - 25", "6 - 12", "very_warm", "semi_arid"),
    ("20 - 25 Deg. F. / 12 - 30", "20 - 25", "12 - 30", "very_warm", "arid"),
]


@pytest.mark.parametrize(("label", "temperature", "moisture", "warmth", "wetness"), PUBLISHED)
def test_a_published_label_names_its_two_bands(label, temperature, moisture, warmth, wetness):
    zone = Zone(label)
    assert (str(zone.temperature), str(zone.moisture)) == (temperature, moisture)
    assert zone.informal_names == (warmth, wetness)
    assert zone.label == label


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
