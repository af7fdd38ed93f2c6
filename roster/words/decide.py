"""Sentences of To decide: text is the headline, remedy the one next step, rule the kind of row."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_LATE_SOURCE = mark(
    "common practice, no source; check-out and check-in with a named holder as in Forest Service "
    "Handbook supplement 6709.11, section 11.12.2"
)
_HEAD_COUNT = mark("Show the head count")
_ASK_AFTER = mark("Ask after the crew")
_OUT = mark("people out")
_LEAD = mark("lead")
_LAND = mark("land")
_CLOSING = mark("closing")
_DATE = mark("date")

SENTENCES: dict[str, Entry] = {
    "crew_is_out": Entry(
        plural(
            "{kind:event_kind} {event}: one person is out",
            "{kind:event_kind} {event}: {n} people are out",
            "n",
        ),
        _HEAD_COUNT,
        rule=_OUT,
        source=DEFAULT,
    ),
    "crew_is_late": Entry(
        plural(
            "{kind:event_kind} {event}: one person is late",
            "{kind:event_kind} {event}: {n} people are late",
            "n",
        ),
        _ASK_AFTER,
        rule=_OUT,
        source=_LATE_SOURCE,
    ),
    "crew_out_where_closed": Entry(
        plural(
            "{kind:event_kind} {event}: one person is out where it is closed",
            "{kind:event_kind} {event}: {n} people are out where it is closed",
            "n",
        ),
        _ASK_AFTER,
        rule=_OUT,
        source=COMMON,
    ),
    "clock_of_crew": Entry(
        mark("{title}, lead {lead}. Expected back {back_at:time}, late from {clock_at:time}."),
        mark(
            "Call the lead and the data collector, then the stand-in. In danger call 911 or the "
            "dispatch number of the site first."
        ),
        rule=_OUT,
        source=_LATE_SOURCE,
    ),
    "event_in_short": Entry(
        mark("{title}, {starts_at}. {placed} of {capacity} spots are taken."),
        None,
        rule=_DATE,
        source=DEFAULT,
    ),
    "all_in_not_closed": Entry(
        mark("Everybody of event {event} is in, and it is not closed"),
        mark("Close it with its outcome"),
        rule=_CLOSING,
        source=DEFAULT,
    ),
    "day_past_not_closed": Entry(
        mark("The day of event {event} is past and it never started"),
        mark("Call it off"),
        rule=_CLOSING,
        source=DEFAULT,
    ),
    "land_says_no": Entry(
        mark("Event {event} may not go out there"),
        mark("Settle permission or closure"),
        rule=_LAND,
        source=DEFAULT,
    ),
    "draft_not_open": Entry(
        mark("Event {event} is still a draft"),
        mark("Open it for sign-up"),
        rule=mark("draft"),
        source=DEFAULT,
    ),
    "day_not_fixed": Entry(
        mark("Event {event} has no fixed day"),
        mark("Fix the day"),
        rule=_DATE,
        source=DEFAULT,
    ),
    "event_without_lead": Entry(
        mark("Event {event} has no lead"),
        mark("See who can lead"),
        rule=_LEAD,
        source=DEFAULT,
    ),
    "lead_can_be_asked": Entry(
        mark("Event {event} has no lead; {best} is cleared, free and first of the list"),
        mark("Ask {best} to lead"),
        rule=_LEAD,
        source=DEFAULT,
    ),
    "no_lead_to_ask": Entry(
        mark("Event {event} has no lead, and nobody can be asked"),
        mark("See why, and the nearest way out"),
        rule=_LEAD,
        source=DEFAULT,
    ),
    "lead_has_not_answered": Entry(
        mark("{asked} has not answered whether to lead event {event}"),
        mark("Ask another as well"),
        rule=_LEAD,
        source=DEFAULT,
    ),
    "lead_not_cleared_on_day": Entry(
        mark("{lead} may not lead event {event}"),
        mark("Ask another lead"),
        rule=mark("lead not cleared on the day"),
        source=DEFAULT,
    ),
    "crew_short": Entry(
        plural(
            "Event {event} is one person short",
            "Event {event} is {n} people short",
            "n",
        ),
        mark("See who can be invited"),
        rule=mark("minimum crew"),
        source=DEFAULT,
    ),
    "nobody_on_duty": Entry(
        mark("Event {event} has no duty person or no stand-in"),
        mark("Name both"),
        rule=mark("duty"),
        source=_LATE_SOURCE,
    ),
    "check_says_stop": Entry(
        mark("The crew check of event {event} says stop"),
        mark("Show the crew check"),
        rule=mark("crew check"),
        source=DEFAULT,
    ),
    "can_be_ready": Entry(
        mark("Event {event} is complete and not yet marked ready"),
        mark("Mark it ready"),
        rule=mark("not marked ready"),
        source=DEFAULT,
    ),
    "ready_without_event": Entry(
        mark("{title}: ready on {day:short}, and no event is planned"),
        mark("Create an event"),
        rule=mark("ripe soon"),
        source=DEFAULT,
    ),
    "chance_on_best_day": Entry(
        mark("{share:percent} chance ready on {day:short}, the best day within two weeks."),
        None,
        rule=mark("ripe soon"),
        source=DEFAULT,
    ),
    "people_without_region": Entry(
        plural(
            "One person lives where no region is",
            "{n} people live where no region is",
            "n",
        ),
        mark("Hand them to a region"),
        rule=mark("people"),
        source=DEFAULT,
    ),
}
