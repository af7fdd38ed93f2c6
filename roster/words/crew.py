"""Sentences of the crew check."""

from roster.words.crew_day import DAY
from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_MINIMUM = mark(
    "The smallest crew is 3 cleared adults where there is coverage (a lead, a data collector, one "
    "more), 4 where there is none, 2 on a site check."
)
_LEAD = mark("A cleared lead is there.")
_LEAD_SOURCE = mark("FWS 150 FW 2 (2003): training before hazardous work; BLM TP section 7")
_COLLECTOR = mark("A cleared data collector is there, somebody else than the lead.")
_MOST = mark("At most 9 beside the lead, at most 5 on a lead's first two events.")
_MOST_SOURCE = mark("a ranger's account (Homestead); the 5 is our own default")
_AID = mark("First aid is on every crew: valid that day.")
_AID_SOURCE = mark("29 CFR 1910.151(b), with OSHA letters of 1994-02-09 and 2007-03-23")
_CLEARED = mark("Everybody on the crew is cleared for the day.")
_PAPERS = mark("Everybody has signed what the land manager asks for.")
_PAPERS_SOURCE = mark("NPS RM-7 ch. 5: signed and current before any service")
_ADULTS = mark(
    "With any minor two cleared and screened adults, not of one household, neither of them the "
    "minor's only guardian. This is never overridden."
)
_ADULTS_SOURCE = mark("after California Business and Professions Code 18975")
_AGE = mark("Youngest ages: crew member 16, with an own guardian there 14; all else 18 or more.")
_AGE_SOURCE = mark("our own default; units may set one (FWS 150 FW 2, section 2.4)")
_CONSENT = mark("A minor comes only with the guardian's yes. This is never overridden.")
_CONSENT_SOURCE = mark("FWS 150 FW 2; OF-301A; OMB 0596-0080")
_LIGHT = mark("The work ends a walk-out before sunset.")
_CARS = mark("There are vehicles for everybody, and two where nobody can call.")

CHECK: dict[str, Entry] = {
    "crew_too_small": Entry(
        plural(
            "{n} of {minimum} cleared adults are there; one is missing.",
            "{n} of {minimum} cleared adults are there; {short} are missing.",
            "short",
        ),
        mark("Invite more, place somebody from the waiting list, or make it a site check."),
        rule=_MINIMUM,
        source=COMMON,
    ),
    "crew_too_small_no_signal": Entry(
        plural(
            "{n} of {minimum} cleared adults are there, at a place without signal; one is missing.",
            "{n} of {minimum} cleared adults are there, at a place without signal; "
            "{short} are missing.",
            "short",
        ),
        mark("Invite more, or move the event to a place with signal."),
        rule=_MINIMUM,
        source=COMMON,
    ),
    "crew_large_enough": Entry(
        mark("{n} cleared adults; the smallest crew is {minimum}."),
        None,
        rule=_MINIMUM,
        source=COMMON,
    ),
    "lead_missing": Entry(
        mark("Event {event} has no lead."),
        mark("Ask one of the leads who are cleared that day."),
        rule=_LEAD,
        source=_LEAD_SOURCE,
    ),
    "lead_not_cleared": Entry(
        mark("{name} is not cleared to lead on {day}."),
        mark("Ask another lead, or see that {name} finishes what is missing before."),
        rule=_LEAD,
        source=_LEAD_SOURCE,
    ),
    "lead_cleared": Entry(
        mark("{name} is cleared to lead that day."), None, rule=_LEAD, source=_LEAD_SOURCE
    ),
    "collector_missing": Entry(
        mark("Event {event} has no data collector."),
        mark("Ask one of the data collectors who are cleared that day."),
        rule=_COLLECTOR,
        source=DEFAULT,
    ),
    "collector_is_lead": Entry(
        mark("The data collector of event {event} is the lead."),
        mark("Ask somebody else to keep the record; the lead looks after the crew."),
        rule=_COLLECTOR,
        source=DEFAULT,
    ),
    "collector_not_cleared": Entry(
        mark("{name} is not cleared as data collector on {day}."),
        mark("Ask another data collector, or see that {name} finishes what is missing before."),
        rule=_COLLECTOR,
        source=DEFAULT,
    ),
    "collector_cleared": Entry(
        mark("{name} is cleared as data collector that day."),
        None,
        rule=_COLLECTOR,
        source=DEFAULT,
    ),
    "crew_too_large": Entry(
        mark("{n} people go beside the lead; one lead looks after {most}."),
        mark("Add a second event with a lead of its own, or take some off."),
        rule=_MOST,
        source=_MOST_SOURCE,
    ),
    "crew_too_large_new_lead": Entry(
        mark("{n} people go beside the lead; on a first or second event it is {most} at most."),
        mark("Ask a lead with more events behind them, or take some off."),
        rule=_MOST,
        source=_MOST_SOURCE,
    ),
    "crew_not_too_large": Entry(
        mark("{n} go beside the lead; {most} is the most."), None, rule=_MOST, source=_MOST_SOURCE
    ),
    "first_aid_missing": Entry(
        mark("Nobody on event {event} has a first-aid card that is valid on {day}."),
        mark("Invite a first-aider, or see that somebody renews the card before."),
        rule=_AID,
        source=_AID_SOURCE,
    ),
    "first_aid_there": Entry(mark("First aid: {names:list}."), None, rule=_AID, source=_AID_SOURCE),
    "member_not_cleared": Entry(
        mark("{name} is not cleared {role:to_do} on {day}."),
        mark("Ask {name} what is missing, or take {name} off the crew."),
        rule=_CLEARED,
        source=DEFAULT,
    ),
    "everybody_cleared": Entry(
        mark("All {n} are cleared that day."), None, rule=_CLEARED, source=DEFAULT
    ),
    "member_lacks_papers": Entry(
        mark("{name} has not signed what this land asks for: {papers:list}."),
        mark("Have it signed before that day, or take {name} off the crew."),
        rule=_PAPERS,
        source=_PAPERS_SOURCE,
    ),
    "papers_in_order": Entry(
        mark("The papers for this land are in order on {day}."),
        None,
        rule=_PAPERS,
        source=_PAPERS_SOURCE,
    ),
    "member_elsewhere": Entry(
        mark("{name} is on event {other} at the same hours, the way between included."),
        mark("Take {name} off one of the two."),
        rule=mark("Nobody is on two events at once."),
        source=DEFAULT,
    ),
    "too_young_for_crew": Entry(
        mark("{name} is too young {role:to_do}: {age} at least."),
        mark("Take {name} off the crew; nothing sets this aside."),
        rule=_AGE,
        source=_AGE_SOURCE,
    ),
    "own_guardian_not_there": Entry(
        mark("{name} is under {age} and no own guardian is on the crew."),
        mark("Place a guardian of {name} as well, or take {name} off the crew."),
        rule=_AGE,
        source=_AGE_SOURCE,
    ),
    "own_guardian_there": Entry(
        mark("{name} is under {age}; an own guardian is on the crew."),
        None,
        rule=_AGE,
        source=_AGE_SOURCE,
    ),
    "guardian_consent_lacks": Entry(
        mark(
            "No guardian has consented to this day and place for {name}, emergency care included."
        ),
        mark("Ask the guardian before that day, or take {name} off the crew."),
        rule=_CONSENT,
        source=_CONSENT_SOURCE,
    ),
    "guardian_consent_there": Entry(
        mark("Guardians have consented for {names:list}."),
        None,
        rule=_CONSENT,
        source=_CONSENT_SOURCE,
    ),
    "two_adults_missing": Entry(
        plural(
            "A minor is on the crew, and {n} of two cleared and screened adults.",
            "{minors} minors are on the crew, and {n} of two cleared and screened adults.",
            "minors",
        ),
        mark("Place another cleared and screened adult, or take the minor off the crew."),
        rule=_ADULTS,
        source=_ADULTS_SOURCE,
    ),
    "adults_of_one_household": Entry(
        mark("The adults who could answer for {name} are of one household."),
        mark("Place a cleared and screened adult of another household."),
        rule=_ADULTS,
        source=_ADULTS_SOURCE,
    ),
    "adult_is_only_guardian": Entry(
        mark("Beside the only guardian of {name} there is one cleared and screened adult."),
        mark("Place another cleared and screened adult."),
        rule=_ADULTS,
        source=_ADULTS_SOURCE,
    ),
    "two_adults_there": Entry(
        mark("Two cleared adults for {name}: {first}, {second}."),
        mark("{name} works in sight of both. Nobody is alone with another's child."),
        rule=_ADULTS,
        source=_ADULTS_SOURCE,
    ),
    "two_adults_household_unknown": Entry(
        mark("Two cleared adults for {name}: {first}, {second}; a household is not on record."),
        mark("Make sure that they are of two households, and record them."),
        rule=_ADULTS,
        source=_ADULTS_SOURCE,
    ),
    "daylight_unknown": Entry(
        mark("The sun does not set at this place on {day}, or sunset cannot be worked out."),
        mark("Decide the end of the work with the lead."),
        rule=_LIGHT,
        source=DEFAULT,
    ),
    "daylight_too_short": Entry(
        mark("The work ends {ends_at:time}; sunset is {sunset:time}, the walk out {minutes} min."),
        mark("End by {latest:time}, or begin earlier."),
        rule=_LIGHT,
        source=DEFAULT,
    ),
    "daylight_enough": Entry(
        mark("The work ends {ends_at:time}, a walk-out of {minutes} min before {sunset:time}."),
        None,
        rule=_LIGHT,
        source=DEFAULT,
    ),
    "vehicles_unknown": Entry(
        mark("Nobody has said how many vehicles go."),
        mark("Count seats and fuel at the meeting point; licensed, rested drivers only."),
        rule=_CARS,
        source=COMMON,
    ),
    "vehicles_too_few": Entry(
        mark("{n} vehicles for {people} people."),
        mark("Ask who else can drive; nobody rides without a seat belt."),
        rule=_CARS,
        source=COMMON,
    ),
    "one_vehicle_no_signal": Entry(
        mark("One vehicle goes to a place without signal."),
        mark("Take a second one, or agree on a way to walk out."),
        rule=_CARS,
        source=COMMON,
    ),
    "vehicles_enough": Entry(
        mark("Vehicles: {n}, for {people} people."), None, rule=_CARS, source=COMMON
    ),
}
SENTENCES: dict[str, Entry] = CHECK | DAY
