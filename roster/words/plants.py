"""Sentences about numbers, days, readiness of seed and how much of it may be taken."""

from roster.words.collecting import COLLECTING
from roster.words.entry import DEFAULT, Entry, mark

_MOST = mark("At most a stated share of the viable seed that stands on the day is taken.")
_SOS = mark("BLM native-seed technical protocol, section 9")
_RARE = mark("CPC best practices, acquiring a conservation collection")

SENTENCES: dict[str, Entry] = COLLECTING | {
    "number_too_small": Entry(
        mark("{value} is below {least}."),
        mark("Write a number of {least} or more."),
    ),
    "number_not_positive": Entry(
        mark("{value} is not above zero."),
        mark("Write a number above zero."),
    ),
    "bad_duration": Entry(
        mark("{value} is not a length of time that a validity can have."),
        mark("Write it in the ISO 8601 form: P12M for twelve months, P2Y for two years."),
    ),
    "duration_has_time": Entry(
        mark("{value} has hours in it, and a validity is counted in days."),
        mark("Write whole days: P30D for thirty days, P12M for twelve months."),
    ),
    "day_out_of_calendar": Entry(
        mark("That lies outside the calendar, which runs from year 1 to 9999."),
        mark("Choose a shorter time."),
    ),
    "days_reversed": Entry(
        mark("The last day is before the first."),
        mark("Swap the two days."),
    ),
    "day_before_birth": Entry(
        mark("The day of birth is after {day}."),
        mark("Check the day of birth."),
    ),
    "bad_code": Entry(
        mark("{value} is not a number that we give out: a letter or digit is wrong or missing."),
        mark("Read it once more from the paper; there is no I, L, O or U in it."),
        source=mark("Crockford, Base 32, 4 March 2019"),
    ),
    "shares_not_one": Entry(
        mark("The shares of immature, ripe and shed plants do not add up to the whole."),
        mark("Change one so that the three make 100 %."),
    ),
    "observation_says_nothing": Entry(
        mark("The site check does not say at which stage the plants are."),
        mark("Give the shares that are immature, ripe and shed."),
    ),
    "temperatures_reversed": Entry(
        mark("The day's highest temperature {most} is below its lowest {least}."),
        mark("Swap the two readings."),
    ),
    "upper_not_above_base": Entry(
        mark("The upper limit {upper} is not above the base {base}."),
        mark("Write an upper limit above the base, or leave it out."),
    ),
    "bad_team_code": Entry(
        mark("{value} is not a team code."),
        mark("Write two capital letters and three digits, as in OR020."),
    ),
    "bad_collection_number": Entry(
        mark("{value} is not a collection number."),
        mark("Write team code, hyphen and running number, as in OR020-26."),
        source=mark("BLM native-seed technical protocol, section 11a"),
    ),
    "more_good_than_looked_at": Entry(
        mark("{good} good seeds of {looked_at} looked at cannot be."),
        mark("Correct one of the two numbers."),
    ),
    "listed_needs_permit": Entry(
        mark("This is a listed plant and no permit for it is on file."),
        mark("Take nothing. Record the permit's number once it is granted."),
        rule=mark("A listed plant is not taken without a permit. This is never overridden."),
        source=mark("50 CFR 17.61(c)(1) and 17.71; state lists besides"),
    ),
    "too_few_plants_ripe": Entry(
        mark("{n} plants carry seed at dispersal; more than {most} must, before anyone starts."),
        mark("Take nothing today. Look again when more plants are ripe."),
        rule=mark("More than 50 plants at dispersal before starting: 50 fails, 51 passes."),
        source=_SOS,
    ),
    "no_seed_fill_check": Entry(
        mark("Nobody has looked whether the seed is good."),
        mark("Cut, press or hold to the lens {least} seeds from plants all over the stand."),
        rule=mark("No seed-fill check, no harvest."),
        source=_SOS,
    ),
    "no_good_seed": Entry(
        mark("None of the {looked_at} seeds looked at was good."),
        mark("Take nothing. Look at seed from other plants, or come back later."),
        rule=_MOST,
        source=_SOS,
    ),
    "rare_harvested_too_often": Entry(
        mark("Seed of this rare plant was taken here in {n} of the last nine years."),
        mark("Take nothing this year; {most} years in ten are the most."),
        rule=mark("A rare plant is harvested in at most 5 years of any 10."),
        source=_RARE,
    ),
    "days_share_taken": Entry(
        mark("Today's share of {share:percent} is already taken, all crews together."),
        mark("Stop here today."),
        rule=_MOST,
        source=_SOS,
    ),
    "seasons_share_taken": Entry(
        mark("{share:percent} of this season's crop is already taken, all visits together."),
        mark("Stop, and ask the coordinator, who may decide to go on."),
        rule=mark("Collecting stops at a share of the season's crop until a coordinator decides."),
        source=DEFAULT,
    ),
    "rare_seasons_share_taken": Entry(
        mark("{share:percent} of this rare plant's crop of the year is already taken."),
        mark("Stop for this year. Nobody can override this."),
        rule=mark("At most a tenth of a rare plant's crop of the year is taken."),
        source=_RARE,
    ),
    "few_seeds_looked_at": Entry(
        mark("Only {n} seeds were looked at; {least} make a fair look."),
        mark("Look at more, from plants all over the stand."),
        source=DEFAULT,
    ),
    "half_the_seed_is_bad": Entry(
        mark("Only {share:percent} of the seed is good: less than most of it."),
        mark("Think about coming back later, or going to another population."),
        rule=mark("Most of the seed should be ripe and full."),
        source=_SOS,
    ),
    "below_wanted_seeds": Entry(
        mark(
            "{n:number} viable seeds are too few for the {wanted:number} that a collection wants."
        ),
        mark("It may be collected; plan another visit or population for the rest."),
        source=mark("BLM native-seed technical protocol, section 7"),
    ),
    "bag_mothers_apart": Entry(
        mark("So few plants or seeds: put the seed of each mother plant into a bag of its own."),
        mark("Number the bags and write the number of mother plants on the record."),
        source=mark("CPC, sampling from 50 maternal plants"),
    ),
}
