"""How much seed may be taken from a population today, and why not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, log

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least, within
from roster.domain.reasons import Fact, Reason

SECTION_9 = "BLM native-seed technical protocol, section 9"
RARE_SOURCE = "CPC best practices, acquiring a conservation collection"


@dataclass(frozen=True)
class HarvestRules:
    """The limits that hold for a population, with the name, version and source to be recorded.

    Shares are parts of 1. `more_plants_than` is literal: 50 plants fail, 51 pass.
    `season_share` of the season's crop is our own default; so is the least number of seeds to
    look at.
    """

    rule_set: str
    version: str
    source: str
    share: float
    more_plants_than: int = 50
    season_share: float = 0.2
    years_in_ten: int | None = None
    look_at_least: int = 20
    wanted_seeds: int = 10_000
    overridable_season: bool = True


COMMON = HarvestRules("common species", "1", SECTION_9, share=0.2)
RARE = HarvestRules(
    "rare species",
    "1",
    f"{RARE_SOURCE}; {SECTION_9}",
    share=0.1,
    season_share=0.1,
    years_in_ten=5,
    overridable_season=False,
)


def rules_for(rare: bool, permitted_share: float | None = None) -> HarvestRules:
    """The rules of a common or rare species, narrowed by the share that the permission allows."""
    rules = RARE if rare else COMMON
    if permitted_share is None or within("permitted_share", permitted_share, 0, 1) >= rules.share:
        return rules
    source = f"{rules.source}; the land manager's permission"
    return replace(rules, share=permitted_share, source=source)


@dataclass(frozen=True)
class Count:
    """What was counted today before the first fruit is taken, and what was already taken.

    Fruits and seeds are means of at least ten plants spread over the stand. `looked_at` seeds were
    cut, pressed or held to the lens; `good` of them were ripe and full. `taken_today` and
    `taken_this_season` are fruits, of all crews and visits together, this one's included.
    `crop` is the fruits that the stand bears in the whole season, where somebody estimated it.
    `harvested_years` are the years of the last nine in which seed was taken.
    """

    plants_at_dispersal: int
    fruits_per_plant: float
    seeds_per_fruit: float
    looked_at: int = 0
    good: int = 0
    seeds_per_gram: float | None = None
    taken_today: float = 0
    taken_this_season: float = 0
    crop: float | None = None
    harvested_years: int = 0
    listed: bool = False
    listed_permit: str = ""
    season_released: bool = False

    def __post_init__(self) -> None:
        least_zero = (
            "plants_at_dispersal fruits_per_plant seeds_per_fruit looked_at good taken_today "
            "taken_this_season harvested_years"
        )
        for field in least_zero.split():
            at_least(field, getattr(self, field), 0)
        if self.crop is not None:
            at_least("crop", self.crop, 0)
        if self.good > self.looked_at:
            facts: dict[str, Fact] = {"good": self.good, "looked_at": self.looked_at}
            raise BadInput("good", self.good, Reason("more_good_than_looked_at", facts))
        if self.seeds_per_gram is not None and not self.seeds_per_gram > 0:
            value = str(self.seeds_per_gram)
            raise BadInput("seeds_per_gram", value, Reason("number_not_positive", {"value": value}))

    @property
    def standing_fruits(self) -> Fraction:
        """Fruits that stand ripe today, over the whole stand."""
        return Fraction(self.plants_at_dispersal) * _exact(self.fruits_per_plant)

    @property
    def seed_fill(self) -> Fraction:
        """The part of the seed that is good; only where some was looked at."""
        return Fraction(self.good, self.looked_at)

    @property
    def standing_viable(self) -> int:
        """Viable seed standing today: plants x fruits x seeds x seed fill, rounded down."""
        return int(self.standing_fruits * _exact(self.seeds_per_fruit) * self.seed_fill)


@dataclass(frozen=True)
class Most:
    """The most to take today, as fruits first; seeds are all that is in them, good or not.

    `of_fruits` stand in all: "1,000 of 5,000 capsules". `one_in` says "one ripe fruit in five on
    each plant, over the whole stand". `cautions` do not forbid.
    """

    fruits: int
    of_fruits: int
    one_in: int
    viable_seeds: int
    standing_viable: int
    seeds: int
    grams: float | None
    rule_set: str
    version: str
    source: str
    cautions: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class NothingToTake:
    """Nothing may be taken today, with every reason and the rules that say so."""

    reasons: tuple[Reason, ...]
    rule_set: str
    version: str
    source: str


def most_to_take(count: Count, rules: HarvestRules) -> Most | NothingToTake:
    """The most that may be taken today, or the refusal with every reason.

    Share of the viable seed standing on the day (BLM native-seed technical protocol, section 9),
    less what all crews took today; and no more than the season's share of the crop.
    """
    reasons = _refusals(count, rules)
    left = Fraction(0) if count.looked_at == 0 else _left_today(count, rules)
    if not reasons and left < 1:
        reasons.append(Reason("days_share_taken", {"share": rules.share}))
    if not reasons:
        left, season = _within_season(count, rules, left)
        reasons += season
    if reasons:
        return NothingToTake(tuple(reasons), rules.rule_set, rules.version, rules.source)
    fruits = int(left)
    seeds = fruits * _exact(count.seeds_per_fruit)
    grams = None if count.seeds_per_gram is None else float(seeds) / count.seeds_per_gram
    viable = int(seeds * count.seed_fill)
    return Most(
        fruits=fruits,
        of_fruits=int(count.standing_fruits),
        one_in=ceil(1 / _exact(rules.share)),
        viable_seeds=viable,
        standing_viable=count.standing_viable,
        seeds=int(seeds),
        grams=grams,
        rule_set=rules.rule_set,
        version=rules.version,
        source=rules.source,
        cautions=tuple(_cautions(count, rules, viable)),
    )


def _refusals(count: Count, rules: HarvestRules) -> list[Reason]:
    reasons: list[Reason] = []
    if count.listed and not count.listed_permit.strip():
        reasons.append(Reason("listed_needs_permit"))
    if count.plants_at_dispersal <= rules.more_plants_than:
        facts: dict[str, Fact] = {"n": count.plants_at_dispersal, "most": rules.more_plants_than}
        reasons.append(Reason("too_few_plants_ripe", facts))
    if count.looked_at == 0:
        reasons.append(Reason("no_seed_fill_check", {"least": rules.look_at_least}))
    elif count.good == 0:
        reasons.append(Reason("no_good_seed", {"looked_at": count.looked_at}))
    if rules.years_in_ten is not None and count.harvested_years >= rules.years_in_ten:
        facts = {"n": count.harvested_years, "most": rules.years_in_ten}
        reasons.append(Reason("rare_harvested_too_often", facts))
    return reasons


def _left_today(count: Count, rules: HarvestRules) -> Fraction:
    """Fruits that may still be taken today; what today's crews took stood there this morning."""
    return _exact(rules.share) * count.standing_fruits - _exact(count.taken_today)


def _within_season(
    count: Count, rules: HarvestRules, left: Fraction
) -> tuple[Fraction, list[Reason]]:
    released = count.season_released and rules.overridable_season
    if count.crop is None or released:
        return left, []
    season = _exact(rules.season_share) * _exact(count.crop) - _exact(count.taken_this_season)
    if season >= 1:
        return min(left, season), []
    code = "seasons_share_taken" if rules.overridable_season else "rare_seasons_share_taken"
    return Fraction(0), [Reason(code, {"share": rules.season_share})]


def _cautions(count: Count, rules: HarvestRules, viable: int) -> list[Reason]:
    cautions: list[Reason] = []
    if count.looked_at < rules.look_at_least:
        facts: dict[str, Fact] = {"n": count.looked_at, "least": rules.look_at_least}
        cautions.append(Reason("few_seeds_looked_at", facts))
    if count.seed_fill <= Fraction(1, 2):
        cautions.append(Reason("half_the_seed_is_bad", {"share": float(count.seed_fill)}))
    if viable <= rules.wanted_seeds:
        facts = {"n": viable, "wanted": rules.wanted_seeds}
        cautions.append(Reason("below_wanted_seeds", facts))
    if bag_mothers_apart(count.plants_at_dispersal, rules.years_in_ten is not None, viable):
        cautions.append(Reason("bag_mothers_apart"))
    return cautions


def bag_mothers_apart(plants: int, rare: bool, expected_seeds: int) -> bool:
    """Whether the seed of each mother plant should go into a bag of its own.

    Rare species with fewer than 50 plants, or fewer than 3,000 seeds expected (CPC, 50 mothers).
    """
    return (rare and plants < 50) or expected_seeds < 3_000


def viable_seed_needed(wanted_seeds: int, rules: HarvestRules) -> int:
    """The viable seed that must stand on the day so that the share alone gives the wanted seeds."""
    if not rules.share > 0:
        raise BadInput("share", rules.share, Reason("number_not_positive", {"value": "0"}))
    return ceil(Fraction(wanted_seeds) / _exact(rules.share))


def plants_to_sample(outbreeding: bool, rarity: float = 0.05, chance: float = 0.95) -> int:
    """Plants to take from so that a variant of that rarity is caught with that chance.

    An outbreeding plant carries two independent copies, a selfing one counts once
    (BLM native-seed technical protocol, section 8: 30 and 59 plants).
    """
    within("rarity", rarity, 1e-6, 0.999_999)
    within("chance", chance, 1e-6, 0.999_999)
    copies = log(1 - chance) / log(1 - rarity)
    return ceil(copies / 2 if outbreeding else copies)


def person_hours(
    plants: int, seeds: float, *, plants_per_hour: float = 30, seeds_per_hour: float | None = None
) -> float:
    """Hours of one person for this many plants or seeds, whichever takes longer.

    30 plants an hour is our own default; programmes put in the rate of their own records.
    """
    by_plants = at_least("plants", plants, 0) / _rate("plants_per_hour", plants_per_hour)
    if seeds_per_hour is None:
        return by_plants
    return max(by_plants, at_least("seeds", seeds, 0) / _rate("seeds_per_hour", seeds_per_hour))


def _rate(field: str, value: float) -> float:
    if not value > 0:
        raise BadInput(field, value, Reason("number_not_positive", {"value": str(value)}))
    return value


def _exact(value: float) -> Fraction:
    """The decimal number that was typed: 0.2 is one fifth, not its nearest binary fraction."""
    return Fraction(str(value))
