"""Sentences that no subject owns: what does not exist, may not be done, cannot be read."""

from roster.words.entry import Entry, mark

SENTENCES: dict[str, Entry] = {
    "not_found": Entry(
        mark("There is no {kind:kind} {value}."),
        mark("Check the number or the address, or search by name."),
    ),
    "not_allowed": Entry(
        mark("This is not yours to do."),
        mark("Ask the coordinator of the region, or sign in as the person who may."),
        rule=mark("Each act belongs to named roles"),
    ),
    "operation_conflict": Entry(
        mark("This form was already sent with other answers."),
        mark("Open the page again and send the form once more."),
    ),
    "somebody_was_faster": Entry(
        mark("Somebody else changed this in the meantime; nothing of yours was saved."),
        mark("Look at the page as it is now, then decide again."),
    ),
    "missing_value": Entry(
        mark("An answer is missing."),
        mark("Fill in this field."),
    ),
    "bad_day": Entry(
        mark("{value} is not a day of the calendar."),
        mark("Write the day as 2027-06-20: year, month, day."),
    ),
    "bad_time": Entry(
        mark("{value} is not a time of day."),
        mark("Write the time as 07:30, in 24 hours."),
    ),
    "bad_number": Entry(
        mark("{value} is not a number that fits here."),
        mark("Write a whole number without a sign."),
    ),
    "number_out_of_range": Entry(
        mark("{value} is outside {least} to {most}."),
        mark("Write a number from {least} to {most}."),
    ),
    "bad_choice": Entry(
        mark("{value} is not one of the choices."),
        mark("Choose one of those that are listed."),
    ),
    "control_characters": Entry(
        mark("The text holds signs that cannot be printed."),
        mark("Type the text anew instead of pasting it."),
    ),
    "text_too_long": Entry(
        mark("The text is too long; {most} signs fit."),
        mark("Shorten it."),
    ),
}
