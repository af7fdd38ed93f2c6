"""Sentences of the collection record: what cannot be written down, and what was too much."""

from roster.words.entry import DEFAULT, Entry, mark

COLLECTING: dict[str, Entry] = {
    "taken_needs_seeds_per_fruit": Entry(
        mark("Nobody has counted the seeds in a fruit."),
        mark("Write the seeds per fruit in the count, or say how many fruits were taken."),
    ),
    "taken_needs_seeds_per_gram": Entry(
        mark("Grams cannot be counted against the limit without the seeds in a gram."),
        mark("Write the seeds per gram in the count, or say how many fruits were taken."),
    ),
    "taken_nothing_needs_why": Entry(
        mark("No amount is given."),
        mark("Write what was taken, or choose why nothing was taken."),
    ),
    "taken_and_nothing": Entry(
        mark("An amount is given, and also why nothing was taken."),
        mark("Write zero, or take the reason away."),
    ),
    "mothers_not_counted": Entry(
        mark("The seed was bagged by mother plant and the mother plants are not counted."),
        mark("Write how many mother plants there are; there is one bag for each."),
    ),
    "taken_above_most": Entry(
        mark("{n:number} fruits are more than the {most:number} that may be taken."),
        mark(
            "Correct the amount. If so much was taken already, say so below: it is recorded, "
            "and the coordinator sees it."
        ),
        rule=mark("What was taken is written down even where it was too much."),
        source=DEFAULT,
    ),
    "count_the_stand_first": Entry(
        mark("The plants were not counted, so nothing says how much may be taken."),
        mark("Count plants, fruits and seeds, look at the seed, then record what was taken."),
        rule=mark("No seed-fill check, no harvest."),
        source=mark("BLM native-seed technical protocol, section 9"),
    ),
    "only_collecting_is_recorded": Entry(
        mark("This event does not collect: it is a {kind:event_kind}."),
        mark("Record a site check instead."),
    ),
    "not_a_population_of_event": Entry(
        mark("This population is not part of event {event}."),
        mark("Choose one of the populations of the event."),
    ),
}
