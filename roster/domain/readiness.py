"""When the seed of a population is ready: a normal ripe day, and how long the seed then holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import erfc, exp, floor, pi, sqrt
from statistics import NormalDist

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least, within
from roster.domain.reasons import Reason

DAYS_PER_DEGREE_NORTH = 4.0
DAYS_PER_DEGREE_EAST = 0.8
"""4 days per 5 degrees, later to the east; one published copy words it west, two say east."""
DAYS_PER_FOOT_UP = 4.0 / 400.0

STAND_SD_DAYS = 5.0
"""How far apart the plants of one stand ripen (standard deviation). Our own default."""
SIGHT_SD_DAYS = 2.0
"""How far off a careful look at a stand is even if every plant was seen. Our own default."""
PLANTS_LOOKED_AT = 20
"""Plants that a site check looks at if it does not say. Our own default."""
_LEAST_SHARE = 0.02
_STANDARD = NormalDist()


def hopkins_shift_days(
    dlat_deg: float, dlon_east_deg: float, delev_ft: float, season: str = "spring"
) -> float:
    """Days by which an event comes later than at a reference place, by height and latitude.

    Differences are of the place minus the reference: degrees north, degrees east (west negative),
    feet up. `season` autumn turns the sign. Hopkins 1918, Monthly Weather Review Supplement 9
    (4 days per degree of latitude, 5 degrees of longitude, 400 ft). The arithmetic is exact, the
    law is not: it says which place to look at first, never that seed is ripe.
    """
    if season not in ("spring", "autumn"):
        raise BadInput("season", season, Reason("bad_choice", {"value": season}))
    later = (
        DAYS_PER_DEGREE_NORTH * dlat_deg
        + DAYS_PER_DEGREE_EAST * dlon_east_deg
        + DAYS_PER_FOOT_UP * delev_ft
    )
    return later if season == "spring" else -later


def whole_days(days: float) -> int:
    """Days to the nearest whole day, a half away from zero: 0.5 is 1, -0.5 is -1."""
    return floor(days + 0.5) if days >= 0 else -floor(-days + 0.5)


@dataclass(frozen=True)
class Observation:
    """What a site check saw on a day: shares of plants by stage, or the observer's own ripe day.

    Shares are 0 to 1 of the plants in fruit: seed immature, ripe and still held, already shed;
    they add up to 1. With `mean_day` and `sd_days` the observer's own estimate is taken instead.
    """

    on: date
    share_immature: float | None = None
    share_ripe: float | None = None
    share_shed: float | None = None
    mean_day: date | None = None
    sd_days: float | None = None
    plants_looked_at: int = PLANTS_LOOKED_AT

    def __post_init__(self) -> None:
        shares = [self.share_immature, self.share_ripe, self.share_shed]
        for name, share in zip(("immature", "ripe", "shed"), shares, strict=True):
            if share is not None:
                within(f"share_{name}", share, 0, 1)
        known = [share for share in shares if share is not None]
        if (len(known) == 3 and abs(sum(known) - 1) > 0.011) or sum(known) > 1.011:
            raise BadInput("share_ripe", self.share_ripe, Reason("shares_not_one"))
        if self.sd_days is not None:
            _positive("sd_days", self.sd_days)
        at_least("plants_looked_at", self.plants_looked_at, 1)
        if self.mean_day is None and len(known) < 2 and self.share_immature is None:
            raise BadInput("share_immature", None, Reason("observation_says_nothing"))

    @property
    def immature(self) -> float:
        """The share of plants whose seed is not ripe yet."""
        if self.share_immature is not None:
            return self.share_immature
        return max(0.0, 1.0 - (self.share_ripe or 0.0) - (self.share_shed or 0.0))


@dataclass(frozen=True)
class _Estimate:
    """A ripe day as a day number, and its doubt; side 1 says only "not before", -1 "not after"."""

    mean: float
    sd: float
    side: int = 0


@dataclass(frozen=True)
class ReadyWindow:
    """The ripe day of a population as a normal distribution, and the days its seed then holds.

    `mean_part` is the part of a day by which the mean lies after the start of `mean_day`.
    """

    mean_day: date
    sd_days: float
    hold_days: float
    mean_part: float = 0.0

    def __post_init__(self) -> None:
        _positive("sd_days", self.sd_days)
        _positive("hold_days", self.hold_days)

    @classmethod
    def from_calendar(cls, ripe_from: date, ripe_until: date, hold_days: float) -> ReadyWindow:
        """A first window from the days between which a species is said to ripen.

        The days are read as the middle 95 % of a normal distribution (our own default).
        """
        if ripe_until < ripe_from:
            raise BadInput("ripe_until", ripe_until, Reason("days_reversed"))
        span = (ripe_until - ripe_from).days
        return _window(ripe_from.toordinal() + span / 2, max(span / 4, 1.0), hold_days)

    @property
    def mean(self) -> float:
        """The mean ripe day as a day number (date.toordinal) with its part."""
        return self.mean_day.toordinal() + self.mean_part

    def chance_on(self, day: date) -> float:
        """The chance that seed is ready on that day: ripe by then and not yet shed."""
        late = (day.toordinal() - self.mean) / self.sd_days
        held = self.hold_days / self.sd_days
        if late - held > 0:  # take the difference in the thin tail: it keeps its digits
            return _upper_tail(late - held) - _upper_tail(late)
        return _upper_tail(-late) - _upper_tail(held - late)

    def chances(self, days: Iterable[date]) -> dict[date, float]:
        """The chance for each of the days."""
        return {day: self.chance_on(day) for day in days}

    def best_day(self) -> date:
        """The day on which the chance is largest: half the holding time after the mean."""
        return date.fromordinal(whole_days(self.mean + self.hold_days / 2))

    def days_until_shatter(self, day: date) -> int:
        """Days from `day` to the mean day on which the seed falls; negative once it is past."""
        return whole_days(self.mean + self.hold_days - day.toordinal())

    def shifted(self, days: float) -> ReadyWindow:
        """The same window so many days later."""
        return _window(self.mean + days, self.sd_days, self.hold_days)

    def updated(self, observation: Observation) -> ReadyWindow:
        """The window with one more site check in it, each weighted by its precision (1 / sd²).

        A check that found no ripe seed only says that the day is still to come: it never pulls a
        later window forward; one that found all seed shed never pushes an earlier window back.
        """
        seen = _estimate(observation, self.hold_days)
        if seen.side * (self.mean - seen.mean) > 0:
            return self
        mine, theirs = 1 / self.sd_days**2, 1 / seen.sd**2
        mean = (self.mean * mine + seen.mean * theirs) / (mine + theirs)
        return _window(mean, 1 / sqrt(mine + theirs), self.hold_days)


def _estimate(seen: Observation, hold_days: float) -> _Estimate:
    if seen.mean_day is not None:
        return _Estimate(float(seen.mean_day.toordinal()), seen.sd_days or SIGHT_SD_DAYS)
    day, shed = seen.on.toordinal(), seen.share_shed or 0.0
    if seen.immature > 0:
        ripening = _from_share(1 - seen.immature, day, seen.plants_looked_at)
        return replace(ripening, side=1 if seen.immature >= 1 else 0)
    if shed > 0:
        shedding = _from_share(shed, day - hold_days, seen.plants_looked_at)
        return replace(shedding, side=-1 if shed >= 1 else 0)
    # all ripe and nothing shed: we are somewhere within the holding time
    return _Estimate(day - hold_days / 2, sqrt(SIGHT_SD_DAYS**2 + (hold_days / 4) ** 2))


def _from_share(past: float, day: float, looked_at: int) -> _Estimate:
    """The mean day of a stand of which the share `past` was over the threshold on `day`."""
    share = min(1 - _LEAST_SHARE, max(_LEAST_SHARE, past))
    z = _STANDARD.inv_cdf(share)
    density = exp(-z * z / 2) / sqrt(2 * pi)
    sampling = STAND_SD_DAYS * sqrt(share * (1 - share) / looked_at) / density
    return _Estimate(day - STAND_SD_DAYS * z, sqrt(SIGHT_SD_DAYS**2 + sampling**2))


def _window(mean: float, sd_days: float, hold_days: float) -> ReadyWindow:
    number = floor(mean)
    if not 1 <= number <= date.max.toordinal():
        raise BadInput("mean_day", mean, Reason("day_out_of_calendar", {"day": str(mean)}))
    return ReadyWindow(date.min + timedelta(days=number - 1), sd_days, hold_days, mean - number)


def _upper_tail(z: float) -> float:
    return 0.5 * erfc(z / sqrt(2))


def _positive(field: str, value: float) -> None:
    if not value > 0:
        raise BadInput(field, value, Reason("number_not_positive", {"value": str(value)}))
