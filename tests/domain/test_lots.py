"""Pure live seed against tests/checks/pls.csv; values are unrounded and rounded once at the end."""

import pytest

from roster.domain.errors import BadInput
from roster.domain.lots import (
    bulk_weight,
    live_seeds_per_square_foot,
    price_per_pls,
    pure_live_seed,
)
from tests.support.checks import rows

LOTS = [r for r in rows("pls") if r.values[0]["purity_pct"]]
RATES = [r for r in rows("pls") if r.values[0]["pls_lb_per_acre"]]


@pytest.mark.parametrize("row", LOTS)
def test_pure_live_seed_is_purity_times_germination_with_dormant_seed(row):
    purity = float(row["purity_pct"])
    viability = float(row["germination_pct"]) + float(row["dormant_or_hard_pct"])
    assert pure_live_seed(purity, viability) == pytest.approx(float(row["pls_pct"]), abs=0.0001)
    bulk = bulk_weight(1, purity, viability)
    if row["bulk_lb_per_pls_lb"] == "undefined":
        assert bulk is None
    else:
        assert bulk == pytest.approx(float(row["bulk_lb_per_pls_lb"]), abs=0.0001)
    if row["bulk_lb_needed"]:
        wanted = float(row["pls_lb_wanted"])
        printed = float(row["bulk_lb_needed"])
        assert bulk_weight(wanted, purity, viability) == pytest.approx(printed, abs=0.0001)
    if row["price_usd_per_pls_lb"]:
        price = price_per_pls(float(row["bulk_price_usd_per_lb"]), purity, viability)
        assert price == pytest.approx(float(row["price_usd_per_pls_lb"]), abs=0.0001)


@pytest.mark.parametrize("row", RATES)
def test_a_sowing_rate_is_live_seeds_on_a_square_foot(row):
    seeds = live_seeds_per_square_foot(float(row["pls_lb_per_acre"]), float(row["seeds_per_lb"]))
    assert seeds == pytest.approx(float(row["live_seeds_per_sqft"]), abs=0.0001)
    assert seeds == pytest.approx(float(row["published"].split()[0]), abs=0.06)


@pytest.mark.parametrize(("purity", "viability", "percent"), [(92, 80, 73.6), (96, 91, 87.36)])
def test_the_rules_of_the_trade_table_hold(purity, viability, percent):
    """trade_rules.csv P1 (Penn State Extension) and P2 (rangelandsgateway.org)."""
    assert pure_live_seed(purity, viability) == pytest.approx(percent)


def test_a_share_above_the_whole_or_a_weight_below_nothing_is_refused():
    for act in (lambda: pure_live_seed(100.1, 50), lambda: bulk_weight(-1, 90, 90)):
        with pytest.raises(BadInput):
            act()
