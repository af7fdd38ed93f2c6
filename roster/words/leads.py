"""Sentences about leads: for and against, and why nobody can be asked."""

from roster.words.entry import DEFAULT, Entry, mark

_LEADS = mark("Leads are ranked by what speaks against them, then by minutes on the way.")

SENTENCES: dict[str, Entry] = {
    "has_the_role_already": Entry(
        mark("That person is {role:role} of event {event} already."),
        mark("Leave this event out, or name somebody else."),
    ),
    "led_here_before": Entry(mark("led here before"), None, rule=_LEADS, source=DEFAULT),
    "knows_taxon": Entry(mark("knows the species"), None, rule=_LEADS, source=DEFAULT),
    "is_first_aider": Entry(mark("first-aider"), None, rule=_LEADS, source=DEFAULT),
    "is_nearest": Entry(mark("nearest"), None, rule=_LEADS, source=DEFAULT),
    "none_this_month": Entry(mark("none yet this month"), None, rule=_LEADS, source=DEFAULT),
    "over_month": Entry(
        mark("would be number {nth} this month; {most} is the most agreed"),
        mark("Ask anyway if nobody else can, and say so."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "event_the_day_before": Entry(
        mark("is on event {event} the day before"),
        mark("Ask whether two days in a row suit."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "many_in_a_row": Entry(
        mark("would be number {nth} in {days} days"),
        mark("Ask somebody rested first."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "near_reach_end": Entry(
        mark("{minutes} minutes on the way, near the end of the reach of {most}"),
        mark("Ask whether the drive is all right."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "home_unknown": Entry(
        mark("home place not known"),
        mark("Ask how far the drive would be, and record the home place."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "does_not_know_taxon": Entry(
        mark("has not said to know the species"),
        mark("See that somebody on the crew knows the species and its look-alikes."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "all_said_no": Entry(
        mark("{n} who are cleared said no, {name} among them."),
        mark("Ask whether another day would do, or move the event."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "cleared_not_free": Entry(
        mark("{n} are cleared on {day:short} but not free; nearest is {name}."),
        mark("Ask {name} about another day, or move the event."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "cleared_out_of_reach": Entry(
        mark(
            "{n} are cleared and free but live farther than they drive; nearest is {name}, "
            "{minutes} minutes on the way, {most} at most."
        ),
        mark("Ask {name} whether this drive would be all right once."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "nobody_ever_cleared": Entry(
        mark("Nobody has ever been cleared {role:to_do}."),
        mark("See who is nearest to it on the page Training."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "nobody_cleared_that_day": Entry(
        mark("None of the {n} who have been cleared {role:to_do} is cleared on {day:short}."),
        mark("Move the event, or renew what has lapsed; the page Training shows whose."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "nobody_cleared_nearest": Entry(
        mark(
            "None of the {n} who have been cleared {role:to_do} is cleared on "
            "{day:short}; {name} lacks least."
        ),
        mark("What {name} lacks: {step}."),
        rule=_LEADS,
        source=DEFAULT,
    ),
    "lead_ask_not_open": Entry(
        mark("Event {event} has its {role:role} already, or the question is no longer open."),
        mark("Nothing was changed. See the event's page for who goes."),
        rule=mark("The first yes wins, exactly once."),
        source=DEFAULT,
    ),
    "lead_not_cleared_then": Entry(
        mark("This person is not cleared {role:to_do} on {day:short}, the day of event {event}."),
        mark("Choose from the list on the event's page, or see what is missing."),
        rule=mark("A lead is cleared on the day of the event."),
        source=DEFAULT,
    ),
    "asked_already": Entry(
        mark("This person was asked for event {event} and has not answered."),
        mark("Wait for the answer, call, or ask somebody else as well."),
    ),
}
