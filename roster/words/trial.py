"""Sentences about one change to many events, tried out before it is sent."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_UNDO = mark("A change is taken back only while no mail has left and nobody has acted on it.")

SENTENCES: dict[str, Entry] = {
    "trial_without_events": Entry(mark("No event is chosen."), mark("Tick at least one event.")),
    "trial_too_many": Entry(
        mark("{n} events are chosen; one trial takes {most} at most."),
        mark("Choose fewer days, or one region."),
    ),
    "trial_days": Entry(
        mark("The number of days does not fit."),
        mark("Write a whole number from 1 to {most}, with a minus to move to earlier days."),
    ),
    "trial_without_lead": Entry(
        mark("Nobody is named who is to lead."),
        mark("Write the person's number (V123) or sign-in address; speak with them first."),
    ),
    "trial_without_why": Entry(
        mark("The reason is missing."), mark("Write in a few words why; everybody reads it.")
    ),
    "trial_people_out": Entry(
        mark("Event {event} is under way: people are out."),
        mark("Phone the lead and the duty person now; the head count says who is still out."),
        rule=mark("People who are out are called home by phone, not by a form."),
        source=COMMON,
    ),
    "trial_mail_has_left": Entry(
        plural(
            "One mail about event {event} has left.",
            "{n} mails about event {event} have left.",
            "n",
        ),
        mark("Make the opposite change: everybody is told again."),
        rule=_UNDO,
        source=DEFAULT,
    ),
    "trial_acted_on": Entry(
        mark("Event {event} was changed since, or somebody on it has answered."),
        mark("Make the opposite change: everybody is told again."),
        rule=_UNDO,
        source=DEFAULT,
    ),
    "trial_taken_back": Entry(
        mark("This change was taken back on {at}."), mark("Nothing is left to take back.")
    ),
}
