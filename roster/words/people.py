"""Sentences about what is told of a person, and about staff roles."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark

SENTENCES: dict[str, Entry] = {
    "away_days_reversed": Entry(
        mark("The last day away, {last_day}, lies before the first, {from_on}."),
        mark("Correct one of the two days."),
    ),
    "away_too_often": Entry(
        mark("{n} times away are too many; {most} are kept."),
        mark("Take the tick from those that are over."),
    ),
    "free_days_changed_since": Entry(
        mark("What was said of free days has changed since, so it is not taken back."),
        mark("Look at it as it is now, and say it anew."),
    ),
    "bad_address": Entry(
        mark("{value} is not a mail address."),
        mark("Write it as name@example.org."),
    ),
    "bad_phone": Entry(
        mark("{value} is not a phone number."),
        mark("Write digits, with blanks or hyphens between, and a + for the country."),
    ),
    "bad_birth_date": Entry(
        mark("{day} cannot be a birth date."),
        mark("Write the birth date as 1990-05-31: year, month, day."),
    ),
    "half_a_place": Entry(
        mark("A home place needs both latitude and longitude."),
        mark("Give both in degrees, or leave both out."),
    ),
    "no_such_place": Entry(
        mark("There is no place at {lat}, {lon}."),
        mark("Latitude lies from -90 to 90, longitude from -180 to 180; west is negative."),
    ),
    "address_taken": Entry(
        mark("Somebody else signs in with this address."),
        mark("Search for the address in People: it may be the same person."),
        rule=mark("One sign-in address belongs to one person."),
        source=DEFAULT,
    ),
    "region_needed": Entry(
        mark("A regional coordinator needs a region."),
        mark("Choose the region."),
    ),
    "last_coordinator": Entry(
        mark("Then nobody would coordinate the programme."),
        mark("Give the role to somebody else first."),
        rule=mark("The programme always has a coordinator."),
        source=COMMON,
    ),
}
