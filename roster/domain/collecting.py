"""A collection record: what was counted, what others took before, what was taken at last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from roster.domain.errors import BadInput
from roster.domain.events import NothingTaken
from roster.domain.harvest import Count, HarvestRules, Most, NothingToTake, most_to_take, rules_for
from roster.domain.ranges import at_least
from roster.domain.reasons import Fact, Reason

YEARS_LOOKED_AT = 9
"""With this year they make the ten of the rule for rare plants."""


class TakenUnit(StrEnum):
    """In what the crew counted what it took."""

    FRUITS = "fruits"
    SEEDS = "seeds"
    GRAMS = "grams"


class Bagging(StrEnum):
    """All seed of a population in common bags, or each mother plant's apart."""

    BULK = "bulk"
    BY_MOTHER = "by_mother"


@dataclass(frozen=True)
class StandCount:
    """What the crew counted on arrival; `crop` the fruits of the whole season, if estimated."""

    plants_at_dispersal: int
    fruits_per_plant: float
    seeds_per_fruit: float
    looked_at: int = 0
    good: int = 0
    seeds_per_gram: float | None = None
    crop: float | None = None

    @property
    def standing(self) -> float:
        """Fruits that stand ripe, over the whole stand."""
        return self.plants_at_dispersal * self.fruits_per_plant


@dataclass(frozen=True)
class Visit:
    """Another record of the same population and season; amounts in fruits."""

    on: date
    standing: float
    taken: float
    crop: float | None = None


@dataclass(frozen=True)
class PlantLimits:
    """What the plant, the land manager and the coordinator say about the limit."""

    rare: bool = False
    listed: bool = False
    listed_permit: str = ""
    permitted_share: float | None = None
    season_released: bool = False
    harvested_years: int = 0

    @property
    def rules(self) -> HarvestRules:
        """The rule set that holds."""
        return rules_for(self.rare, self.permitted_share)


@dataclass(frozen=True)
class Taken:
    """What was taken, or why nothing was. `anyway`: more than the limit, and already done."""

    amount: float = 0
    unit: TakenUnit = TakenUnit.FRUITS
    bagging: Bagging = Bagging.BULK
    mothers: int | None = None
    voucher: str = ""
    nothing: NothingTaken | None = None
    anyway: bool = False


def limit_on(
    day: date, stand: StandCount, plant: PlantLimits, others: Sequence[Visit]
) -> Most | NothingToTake:
    """The most that this crew may take on a day, after what all others took before.

    `others` are the records of the season, this crew's own left out. Where nobody estimated the
    season's crop it is at least what stood on any visit with what was taken on days before it:
    so a later visit counts against the limit too (our own default).
    """
    count = Count(
        plants_at_dispersal=stand.plants_at_dispersal,
        fruits_per_plant=stand.fruits_per_plant,
        seeds_per_fruit=stand.seeds_per_fruit,
        looked_at=stand.looked_at,
        good=stand.good,
        seeds_per_gram=stand.seeds_per_gram,
        taken_today=sum(v.taken for v in others if v.on == day),
        taken_this_season=sum(v.taken for v in others),
        crop=season_crop(Visit(day, stand.standing, 0, stand.crop), others),
        harvested_years=plant.harvested_years,
        listed=plant.listed,
        listed_permit=plant.listed_permit,
        season_released=plant.season_released,
    )
    return most_to_take(count, plant.rules)


def season_crop(own: Visit, others: Sequence[Visit]) -> float:
    """Fruits that the stand bears in the season, as far as anybody counted or estimated."""
    if own.crop is not None:
        at_least("crop", own.crop, 0)
    visits = (own, *others)
    return max(max(v.crop or 0, v.standing + _taken_before(v.on, visits)) for v in visits)


def _taken_before(day: date, visits: Sequence[Visit]) -> float:
    return sum(v.taken for v in visits if v.on < day)


def fruits_of(taken: Taken, stand: StandCount) -> float:
    """What was taken, in fruits; grams need the seeds in a gram, seeds the seeds in a fruit."""
    amount = at_least("amount", taken.amount, 0)
    if taken.unit is TakenUnit.FRUITS or amount == 0:
        return amount
    if not stand.seeds_per_fruit > 0:
        raise BadInput("unit", taken.unit, Reason("taken_needs_seeds_per_fruit"))
    if taken.unit is TakenUnit.SEEDS:
        return amount / stand.seeds_per_fruit
    if stand.seeds_per_gram is None:
        raise BadInput("unit", taken.unit, Reason("taken_needs_seeds_per_gram"))
    return amount * stand.seeds_per_gram / stand.seeds_per_fruit


def check_taken(taken: Taken, fruits: float, limit: Most | NothingToTake) -> None:
    """BadInput for what cannot be written down, or was more than the limit and not owned up to.

    What was done is recorded all the same, once the crew says so: a hidden excess would make the
    next crew take too much (common practice, no source).
    """
    if taken.nothing is None and not fruits > 0:
        raise BadInput("amount", taken.amount, Reason("taken_nothing_needs_why"))
    if taken.nothing is not None and fruits > 0:
        raise BadInput("nothing", taken.nothing, Reason("taken_and_nothing"))
    if taken.bagging is Bagging.BY_MOTHER and taken.nothing is None:
        if not taken.mothers:
            raise BadInput("mothers", taken.mothers, Reason("mothers_not_counted"))
        at_least("mothers", taken.mothers, 1)
    most = limit.fruits if isinstance(limit, Most) else 0
    if fruits > most and not taken.anyway:
        facts: dict[str, Fact] = {"n": round(fruits), "most": most}
        raise BadInput("amount", taken.amount, Reason("taken_above_most", facts))
