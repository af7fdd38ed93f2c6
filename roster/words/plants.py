"""Sentences about numbers, days, readiness of seed and how much of it may be taken."""

from roster.words.entry import Entry, mark

_MOST = mark("At most a stated share of the viable seed that stands on the day is taken.")
_SOS = mark("BLM native-seed technical protocol, section 9")

SENTENCES: dict[str, Entry] = {
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
}
