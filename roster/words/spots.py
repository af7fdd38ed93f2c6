"""Sentences about sign-up, spots and the waiting list."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_ELIGIBLE = mark("Only who may come on the day of the event gets a spot.")
_SPOTS = mark("Nobody is placed beyond the last spot or the land manager's ceiling.")
_LIST = mark("The first on the waiting list who may still come moves up.")

SENTENCES: dict[str, Entry] = {
    "takes_no_sign_ups": Entry(
        mark("Event {event} is {stage:stage}; it takes no sign-ups."),
        mark("See where else help is needed."),
        rule=mark("People sign up while an event is open or ready."),
        source=DEFAULT,
    ),
    "already_has_a_spot": Entry(
        mark("There is a spot, or a place on the waiting list, on this event already."),
        mark("My days shows it."),
        rule=mark("One spot a person on one event."),
        source=DEFAULT,
    ),
    "no_spot_left": Entry(
        mark("No spot is left on this event."),
        mark("Join the waiting list, or see where else help is needed."),
        rule=_SPOTS,
        source=DEFAULT,
    ),
    "not_cleared_for_event": Entry(
        mark("{name} is not cleared {role:to_do} on the day of event {event}."),
        mark("My training shows what is missing and the next step."),
        rule=_ELIGIBLE,
        source=DEFAULT,
    ),
    "guardian_yes_missing": Entry(
        mark("A guardian has not said yes to event {event} for {name}."),
        mark(
            "Ask the guardian; the consent must hold on that day and cover this place, also "
            "one without signal."
        ),
        rule=mark("A minor comes only with the guardian's yes."),
        source=mark("FWS 150 FW 2; OF-301A; OMB 0596-0080"),
    ),
    "overlaps_other_event": Entry(
        mark("The hours overlap with event {other}, {title}; the way between takes {minutes} min."),
        mark("Withdraw from one of the two first."),
        rule=mark("Nobody is on two events at once, the way between them included."),
        source=DEFAULT,
    ),
    "role_not_for_sign_up": Entry(
        mark("Nobody signs up {role:to_do}; leads are asked."),
        mark("Sign up as crew member; the coordinator sees that you can do more."),
        rule=mark("Leads are asked by the coordinator."),
        source=DEFAULT,
    ),
    "has_no_spot": Entry(
        mark("{name} holds no spot on event {event} and is not on its waiting list."),
        mark("Nothing needs to be given back."),
        rule=_SPOTS,
        source=DEFAULT,
    ),
    "withdraws_too_late": Entry(
        mark("Event {event} is {stage:stage}; {name} cannot withdraw any more."),
        mark("Call the lead or the duty person; who leaves early is counted in by the lead."),
        rule=mark("From the start on, the head count says who is there."),
        source=COMMON,
    ),
    "key_person_withdrew": Entry(
        mark("{name}, {role:role} of event {event}, has withdrawn."),
        mark("Ask another, or move the event."),
        rule=mark("The coordinator is told when lead or data collector leaves."),
        source=COMMON,
    ),
    "withdrew_late": Entry(
        mark("{name} has withdrawn from event {event} in the last three days."),
        mark("See who has accepted the spot, or phone those on the waiting list."),
        rule=_LIST,
        source=DEFAULT,
    ),
    "no_offer_open": Entry(
        mark("No spot on event {event} is offered to {name} now."),
        mark("My days shows how things stand."),
        rule=_LIST,
        source=DEFAULT,
    ),
    "offer_has_lapsed": Entry(
        mark("The offer of a spot on event {event} was open until {until}."),
        mark("Sign up again; if no spot is left you join the waiting list."),
        rule=_LIST,
        source=DEFAULT,
    ),
    "asked_again_unanswered": Entry(
        plural(
            "One was asked again after the move and has not said yes: {names:list}.",
            "{n} were asked again after the move and have not said yes: {names:list}.",
            "n",
        ),
        mark("Phone them, or those on the waiting list; nobody counts before a yes."),
        rule=mark("Whoever is asked again counts towards the crew only with a yes."),
        source=COMMON,
    ),
    "has_a_spot": Entry(
        mark("{name} has a spot on event {event}."), None, rule=_SPOTS, source=DEFAULT
    ),
    "waits_in_line": Entry(
        mark("{name} is number {line} on the waiting list of event {event}."),
        mark(
            "Who withdraws makes room: up to 72 hours before you move up by yourself, then you are "
            "asked, and in the last 24 hours somebody phones."
        ),
        rule=_LIST,
        source=DEFAULT,
    ),
    "asked_until_fixed": Entry(
        mark("{name} would come to event {event}; its day is not fixed yet."),
        mark("You are told as soon as the day is fixed."),
        rule=_LIST,
        source=DEFAULT,
    ),
}
