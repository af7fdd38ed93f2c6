"""Chance ready, days until shatter, site checks; Hopkins against tests/checks/hopkins.csv."""

from datetime import date, timedelta
from math import sqrt
from statistics import NormalDist

import pytest

from roster.domain.errors import BadInput
from roster.domain.readiness import Observation, ReadyWindow, hopkins_shift_days, whole_days
from tests.support.checks import rows

DAY = date(2027, 7, 10)
WINDOW = ReadyWindow(DAY, 4.0, 10)


@pytest.mark.parametrize("row", rows("hopkins"))
def test_an_event_comes_later_to_the_north_the_east_and_upward(row):
    shift = hopkins_shift_days(
        float(row["to_lat_deg"]) - float(row["from_lat_deg"]),
        float(row["to_lon_deg"]) - float(row["from_lon_deg"]),
        float(row["to_elev_ft"]) - float(row["from_elev_ft"]),
        row["season"],
    )
    printed = float(row["days_later_at_destination"])
    assert shift == pytest.approx(printed, abs=float(row["tolerance_days"]))
    assert whole_days(round(shift, 9)) == int(row["days_rounded"])


@pytest.mark.parametrize("row", [r for r in rows("trade_rules") if r.id in ("K2", "K3", "K4")])
def test_the_trade_rules_of_height_and_latitude_hold(row):
    differences = {
        "K2": (0, 0, 1000, "spring"),
        "K3": (46.73 - 44.56, -117.17 + 123.07, 2300, "spring"),
        "K4": (1, 5, 400, "autumn"),
    }[row["id"]]
    printed = float(row["expected"].split()[0])
    assert hopkins_shift_days(*differences) == pytest.approx(printed, abs=0.05)


def test_an_unknown_season_is_refused():
    with pytest.raises(BadInput) as caught:
        hopkins_shift_days(1, 0, 0, "winter")
    assert caught.value.field == "season"


@pytest.mark.parametrize("days", range(-30, 40, 5))
def test_ready_is_ripe_by_the_day_and_not_yet_shed(days):
    ripe = NormalDist(DAY.toordinal(), 4.0)
    day = DAY + timedelta(days=days)
    expected = ripe.cdf(day.toordinal()) - ripe.cdf(day.toordinal() - 10)
    assert WINDOW.chance_on(day) == pytest.approx(expected, abs=1e-12)


def test_half_is_ripe_on_the_mean_day_and_the_best_day_is_half_the_holding_time_later():
    assert WINDOW.chance_on(DAY) == pytest.approx(0.5 - NormalDist().cdf(-2.5), abs=1e-12)
    best = WINDOW.best_day()
    assert best == DAY + timedelta(days=5)
    around = WINDOW.chances(DAY + timedelta(days=n) for n in range(-20, 40))
    assert max(around, key=around.__getitem__) == best
    assert WINDOW.days_until_shatter(DAY + timedelta(days=3)) == 7
    assert WINDOW.days_until_shatter(DAY + timedelta(days=12)) == -2


def test_far_from_the_window_the_chance_is_tiny_but_never_negative():
    assert 0 < WINDOW.chance_on(DAY + timedelta(days=90)) < 1e-12
    assert 0 < WINDOW.chance_on(DAY - timedelta(days=90)) < 1e-12


def test_two_estimates_weigh_by_their_precision():
    seen = Observation(DAY, mean_day=DAY + timedelta(days=6), sd_days=2.0)
    window = WINDOW.updated(seen)
    # (0 / 16 + 6 / 4) / (1 / 16 + 1 / 4) = 4.8 days; 1 / sqrt(0.3125) days
    assert window.mean - DAY.toordinal() == pytest.approx(4.8)
    assert window.sd_days == pytest.approx(1 / sqrt(0.3125))
    assert window.hold_days == 10
    assert window.mean_day == DAY + timedelta(days=4)
    assert window.mean_part == pytest.approx(0.8)


def test_the_order_of_two_site_checks_does_not_matter():
    first = Observation(DAY, share_immature=0.7, share_ripe=0.3, share_shed=0.0)
    second = Observation(
        DAY + timedelta(days=4), share_immature=0.3, share_ripe=0.6, share_shed=0.1
    )
    one, other = WINDOW.updated(first).updated(second), WINDOW.updated(second).updated(first)
    assert one.mean == pytest.approx(other.mean)
    assert one.sd_days == pytest.approx(other.sd_days)
    assert one.sd_days < WINDOW.sd_days


def test_half_ripe_says_that_the_mean_day_is_today():
    seen = Observation(DAY - timedelta(days=6), share_immature=0.5, share_ripe=0.5)
    assert WINDOW.updated(seen).mean < WINDOW.mean
    vague = ReadyWindow(DAY, 1e6, 10)
    assert vague.updated(seen).mean == pytest.approx(DAY.toordinal() - 6, abs=1e-3)


def test_half_shed_says_that_the_mean_day_was_the_holding_time_ago():
    vague = ReadyWindow(DAY, 1e6, 10)
    seen = Observation(DAY, share_immature=0.0, share_ripe=0.5, share_shed=0.5)
    assert vague.updated(seen).mean == pytest.approx(DAY.toordinal() - 10, abs=1e-3)


def test_all_green_far_before_the_window_changes_nothing_but_all_green_on_the_day_moves_it():
    early = Observation(DAY - timedelta(days=30), share_immature=1.0)
    assert WINDOW.updated(early) == WINDOW
    late = Observation(DAY + timedelta(days=5), share_immature=1.0)
    assert WINDOW.updated(late).mean > WINDOW.mean + 5


def test_all_shed_long_after_the_window_changes_nothing_but_all_shed_early_moves_it_back():
    late = Observation(DAY + timedelta(days=60), share_immature=0, share_ripe=0, share_shed=1)
    assert WINDOW.updated(late) == WINDOW
    early = Observation(DAY, share_immature=0, share_ripe=0, share_shed=1)
    assert WINDOW.updated(early).mean < WINDOW.mean - 5


def test_a_calendar_is_read_as_the_middle_of_the_distribution():
    window = ReadyWindow.from_calendar(date(2027, 7, 1), date(2027, 7, 21), 14)
    assert (window.mean_day, window.sd_days, window.mean_part) == (date(2027, 7, 11), 5.0, 0.0)
    assert window.shifted(2.5).mean == window.mean + 2.5
    one_day = ReadyWindow.from_calendar(DAY, DAY, 14)
    assert (one_day.mean_day, one_day.sd_days) == (DAY, 1.0)
    with pytest.raises(BadInput):
        ReadyWindow.from_calendar(DAY, DAY - timedelta(days=1), 14)


@pytest.mark.parametrize(
    "shares",
    [
        {"share_immature": 0.5, "share_ripe": 0.6, "share_shed": 0.0},
        {"share_immature": 1.2},
        {"share_ripe": -0.1, "share_shed": 0.0},
        {},
        {"share_ripe": 0.5},
    ],
)
def test_shares_that_cannot_be_are_refused(shares):
    with pytest.raises(BadInput):
        Observation(DAY, **shares)


def test_a_window_needs_some_doubt_and_some_days():
    with pytest.raises(BadInput):
        ReadyWindow(DAY, 0.0, 10)
    with pytest.raises(BadInput):
        ReadyWindow(DAY, 4.0, 0)
