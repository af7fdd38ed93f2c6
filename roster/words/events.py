"""Sentences about events, their stages and their dates."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark

_STAGES = mark("An event goes from draft to open, ready, under way and done; it may be called off.")
_DUTY = mark("Nobody goes out without a duty person and a stand-in who are not in the field.")
_DUTY_SOURCE = mark(
    "common practice, no source; check-out and check-in with a named holder as in Forest "
    "Service Handbook supplement 6709.11, section 11.12.2"
)
_ENDING = mark("A collecting event ends with seed collected, or with nothing taken and why.")
_TIMES = mark("An event has a local start and end in the time zone of its meeting point.")

SENTENCES: dict[str, Entry] = {
    "phone_list_not_due": Entry(
        mark("The phone list is open from {at} to the end of the event."),
        mark("Until then send a message: mail reaches people in time."),
        source=DEFAULT,
    ),
    "not_on_phone_list": Entry(
        mark("V{person} is not on the crew of this event."),
        mark("Go back to the phone list and look again."),
    ),
    "move_not_allowed": Entry(
        mark("Event {event} is {stage:stage}; from there it cannot become {to:stage}."),
        mark("Open the event's page: it shows what can be done now."),
        rule=_STAGES,
        source=DEFAULT,
    ),
    "spots_already_taken": Entry(
        mark("{n} people hold a spot on event {event}."),
        mark("Call it off, so that they are told, instead of making it a draft again."),
        rule=_STAGES,
        source=DEFAULT,
    ),
    "event_day_is_past": Entry(
        mark("Event {event} was to be on {day}; that day is past."),
        mark("Move it to a day to come, or call it off."),
        rule=_STAGES,
        source=DEFAULT,
    ),
    "date_not_fixed": Entry(
        mark("Event {event} has an expected window, not yet a fixed day."),
        mark("Fix the day first."),
        rule=mark("A crew goes out on a fixed day."),
        source=COMMON,
    ),
    "not_on_its_day": Entry(
        mark("Event {event} is on {day}; today is {today}."),
        mark("Start it on its day, or move it."),
        rule=mark("A crew starts on the day of its event."),
        source=DEFAULT,
    ),
    "duty_person_missing": Entry(
        mark("Event {event} has no duty person."),
        mark("Name somebody with a phone who is not in the field that day."),
        rule=_DUTY,
        source=_DUTY_SOURCE,
    ),
    "stand_in_missing": Entry(
        mark("Event {event} has no stand-in for the duty person."),
        mark("Name a second person with a phone who is not in the field that day."),
        rule=_DUTY,
        source=_DUTY_SOURCE,
    ),
    "stand_in_is_duty_person": Entry(
        mark("The stand-in of event {event} is the duty person."),
        mark("Name somebody else as stand-in."),
        rule=_DUTY,
        source=_DUTY_SOURCE,
    ),
    "outcome_missing": Entry(
        mark("Event {event} cannot be closed without its outcome."),
        mark("Say whether seed was collected or nothing was taken."),
        rule=_ENDING,
        source=COMMON,
    ),
    "nothing_taken_needs_why": Entry(
        mark("The outcome of event {event} and the reason for taking nothing do not fit."),
        mark("Nothing taken needs a reason; collected has none."),
        rule=_ENDING,
        source=COMMON,
    ),
    "outcome_only_for_collecting": Entry(
        mark("Event {event} is not a collecting event and has no such outcome."),
        mark("Close it without an outcome."),
        rule=_ENDING,
        source=COMMON,
    ),
    "call_off_needs_why": Entry(
        mark("Event {event} cannot be called off without a reason."),
        mark("Write in a few words why; everybody on the event reads it."),
        rule=mark("Everybody is told why an event is called off."),
        source=COMMON,
    ),
    "override_never": Entry(
        mark("This stop can never be answered for with a reason: {finding}."),
        mark("Settle what it asks for, or call the event off."),
        rule=mark("Some stops hold whatever the reason."),
        source=DEFAULT,
    ),
    "override_without_reason": Entry(
        mark("Going on although the check says stop needs a reason: {finding}."),
        mark("Write the reason; it is kept in the journal with your name."),
        rule=mark("An override needs a reason."),
        source=DEFAULT,
    ),
    "time_zone_unknown": Entry(
        mark("There is no time zone named {value}."),
        mark("Use a name such as America/Los_Angeles."),
        rule=_TIMES,
        source=mark("IANA time zone database"),
    ),
    "local_time_has_zone": Entry(
        mark("{value} carries a zone of its own."),
        mark("Write the local time alone; the meeting point gives the zone."),
        rule=_TIMES,
        source=DEFAULT,
    ),
    "local_time_skipped": Entry(
        mark("{value} does not exist in {time_zone}: clocks are set forward that night."),
        mark("Write {next}, or another time."),
        rule=_TIMES,
        source=mark("IANA time zone database"),
    ),
    "end_before_start": Entry(
        mark("The event would end before it begins."),
        mark("Write an end that is later than the start."),
        rule=_TIMES,
        source=DEFAULT,
    ),
    "event_too_long": Entry(
        mark("One event lasts {days} days at most."),
        mark("Write an earlier end, or make several events."),
        rule=_TIMES,
        source=DEFAULT,
    ),
    "no_season_then": Entry(
        mark("No season holds {day}."),
        mark("Add a season that holds the day, or choose another day."),
    ),
    "event_needs_population": Entry(
        mark("An event in the field is at a population."),
        mark("Choose at least one population of the site."),
    ),
    "population_elsewhere": Entry(
        mark("{population} is not at {site}."),
        mark("Choose populations of the event's site."),
    ),
    "window_too_long": Entry(
        mark("An expected window is at most {days} days long."),
        mark("Write a shorter window, or look at the population once more."),
    ),
    "event_not_changeable": Entry(
        mark("Event {event} is {stage:stage} and can no longer be changed."),
        mark("Write what happened into its record, or create a new event."),
        rule=_STAGES,
        source=DEFAULT,
    ),
    "day_already_fixed": Entry(
        mark("The day of event {event} is fixed already."),
        mark("Move it to another day instead."),
    ),
    "day_outside_window": Entry(
        mark("{day} is not within the expected window, {first} to {last}."),
        mark("Choose a day of the window, or change the window first."),
    ),
    "capacity_below_taken": Entry(
        mark("{taken} spots are taken; there cannot be only {value}."),
        mark("Write at least {taken}, or speak with those who would have to step back."),
    ),
}
