"""Sentences of the day itself: briefing, readings, head count, closing."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural
from roster.words.topics import TOPICS

_BRIEFED = mark("Everybody is briefed before work, late comers too.")
_BRIEFED_SOURCE = mark("Forest Service checklist for sponsored volunteers: each takes part by name")
_COUNT = mark("An event ends when everybody is in and each minor is handed over.")
_LINE = mark(
    "A reading beyond the stop line stops work. Local codes and licensed people come first."
)
_OSHA = mark("OSHA heat-index guide (91 and 103 °F); stopping at 103 is our own default")

DAY: dict[str, Entry] = TOPICS | {
    "briefing_missing": Entry(
        mark("Nobody has been briefed."),
        mark("Speak the topics aloud at the meeting point, then mark who heard them."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "briefing_not_heard": Entry(
        plural(
            "One person has not been briefed: {names:list}.",
            "{n} people have not been briefed: {names:list}.",
            "n",
        ),
        mark("Brief them before work, then mark it."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "late_comers_not_briefed": Entry(
        plural(
            "One came after the briefing: {names:list}.",
            "{n} came after the briefing: {names:list}.",
            "n",
        ),
        mark("Brief them before work, then mark it."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "everybody_briefed": Entry(
        mark("All {n} who came are briefed."), None, rule=_BRIEFED, source=_BRIEFED_SOURCE
    ),
    "topics_not_spoken": Entry(
        plural("One topic is not marked as spoken.", "{n} topics are not marked as spoken.", "n"),
        mark("Speak each topic aloud, then mark it."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "not_here": Entry(
        mark("{name} is not marked as here."),
        mark("Mark {name} as here first."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "not_briefed_yet": Entry(
        mark("{name} has not heard the briefing."),
        mark("Brief {name} first, then count out."),
        rule=_BRIEFED,
        source=_BRIEFED_SOURCE,
    ),
    "may_not_fetch": Entry(
        mark("{to_whom} is not among those who may fetch {name}: {names:list}."),
        mark("Wait with one more adult and call the guardian."),
        rule=mark("A minor is handed over to who may fetch, by the guardian's consent."),
        source=COMMON,
    ),
    "is_out_already": Entry(
        mark("{name} is out with the crew and cannot be marked as not here."),
        mark("Count {name} in on coming back."),
        rule=_COUNT,
        source=COMMON,
    ),
    "thunder_heard": Entry(
        mark("Thunder was heard at {at:time}."),
        mark(
            "Into hard-topped vehicles or a closed building at once. Not before {again:time}, "
            "{minutes} minutes after the last thunder."
        ),
        rule=_LINE,
        source=mark("OSHA/NOAA Lightning Safety When Working Outdoors (OSHA 3863, 2016)"),
    ),
    "too_hot": Entry(
        mark("Heat index {value} °F at {at:time}; work stops from {line}."),
        mark("Stop, shade, water; cool whoever is unwell and call for help early."),
        rule=_LINE,
        source=_OSHA,
    ),
    "hot": Entry(
        mark("Heat index {value} °F at {at:time}."),
        mark("Write down a plan of rest and water, and watch each other from {line} on."),
        rule=_LINE,
        source=_OSHA,
    ),
    "too_smoky": Entry(
        mark("Air quality index {value} at {at:time}; {most} is the most for this crew."),
        mark("Stop and go home; whoever has trouble breathing is looked after first."),
        rule=_LINE,
        source=DEFAULT,
    ),
    "evacuation_level": Entry(
        mark("An evacuation level is in force for the place or the road."),
        mark("Leave now by the safe road, and tell the duty person."),
        rule=_LINE,
        source=COMMON,
    ),
    "red_flag": Entry(
        mark("A red-flag warning is in force."),
        mark("Park on bare ground, no engine running, tools and water at hand."),
        rule=_LINE,
        source=COMMON,
    ),
    "red_flag_off_pavement": Entry(
        mark("A red-flag warning is in force, and the way leads off pavement."),
        mark("Do not drive in; move the event."),
        rule=_LINE,
        source=DEFAULT,
    ),
    "already_counted_out": Entry(
        mark("{name} is already counted out."),
        mark("Count {name} in on coming back."),
        rule=_COUNT,
        source=COMMON,
    ),
    "not_counted_out": Entry(
        mark("{name} is not out, so cannot be counted in."),
        mark("Look at the list once more; nothing was changed."),
        rule=_COUNT,
        source=COMMON,
    ),
    "not_counted_in": Entry(
        mark("{name} is not counted in yet."),
        mark("Count {name} in first, then hand over."),
        rule=_COUNT,
        source=COMMON,
    ),
    "only_minors_handed_over": Entry(
        mark("{name} is an adult; the day ends with the count in."),
        None,
        rule=_COUNT,
        source=COMMON,
    ),
    "handed_over_to_nobody": Entry(
        mark("To whom {name} was handed over is missing."),
        mark("Write the name of the person who fetched {name}, as the consent allows."),
        rule=_COUNT,
        source=COMMON,
    ),
    "still_out": Entry(
        plural(
            "One person is still out: {names:list}.",
            "{n} people are still out: {names:list}.",
            "n",
        ),
        mark("Count them in; if somebody is missing call the duty person, in danger 911 first."),
        rule=_COUNT,
        source=COMMON,
    ),
    "minor_not_handed_over": Entry(
        plural(
            "One minor is not handed over yet: {names:list}.",
            "{n} minors are not handed over yet: {names:list}.",
            "n",
        ),
        mark(
            "Lead and one more adult wait. Nobody there after 20 minutes: call the guardian, then "
            "the duty person."
        ),
        rule=_COUNT,
        source=COMMON,
    ),
    "never_counted": Entry(
        plural(
            "One person came and was never counted: {names:list}.",
            "{n} people came and were never counted: {names:list}.",
            "n",
        ),
        mark("Count them out, then in."),
        rule=_COUNT,
        source=COMMON,
    ),
    "everybody_home": Entry(mark("All {n} are home."), None, rule=_COUNT, source=COMMON),
    "event_not_under_way": Entry(
        mark("Event {event} is {stage:stage}, not under way."),
        mark("Start it on its day, with crew and briefing."),
        rule=_COUNT,
        source=DEFAULT,
    ),
    "event_is_closed": Entry(
        mark("Event {event} is {stage:stage}; nothing more can be changed on it."),
        mark("Tell the coordinator what has to be added."),
        rule=mark("After closing, later acts are additions, never changes."),
        source=DEFAULT,
    ),
    "not_on_crew": Entry(
        mark("{name} holds no spot on event {event}."),
        mark("Nobody goes out without a spot and papers; ask the coordinator to place them."),
        rule=mark("Walk-ins are off."),
        source=DEFAULT,
    ),
    "came_not_said": Entry(
        plural(
            "Nobody has said whether one person is here: {names:list}.",
            "Nobody has said whether {n} people are here: {names:list}.",
            "n",
        ),
        mark("Mark each as here or not here."),
        rule=mark("The crew check is made on who came."),
        source=COMMON,
    ),
    "contacts_not_now": Entry(
        mark("Emergency contacts of this crew open from {from_at} to {until_at}."),
        mark("In an emergency outside these hours call the coordinator, in danger 911 first."),
        rule=mark("Emergency contacts are read only around the day on which they may be needed."),
        source=DEFAULT,
    ),
}
