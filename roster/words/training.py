"""Sentences about steps, clearance and roles."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_CLEARED = mark("Cleared on a day: every step of the track holds on that day.")
_AGE = mark("Each role has a youngest age, judged on the day of the event.")
_WITHHELD = mark("A role can be withheld from a day; the past stays as it was.")

SENTENCES: dict[str, Entry] = {
    "step_missing": Entry(
        mark("The step {step} is not finished."),
        mark("Finish {step}; a coordinator can record it."),
        rule=_CLEARED,
        source=COMMON,
    ),
    "step_not_yet": Entry(
        mark("The step {step} is recorded as finished on {done_on} only."),
        mark("Choose a day from {done_on} on."),
        rule=_CLEARED,
        source=COMMON,
    ),
    "step_lapsed": Entry(
        mark("{step}: the last valid day was {last_day}."),
        mark("Do {step} again, and have it recorded."),
        rule=_CLEARED,
        source=COMMON,
    ),
    "step_renewed": Entry(
        mark("{step} has a new version that everybody does again, from {from_on}."),
        mark("Do {step} in its new version."),
        rule=_CLEARED,
        source=DEFAULT,
    ),
    "step_unconfirmed": Entry(
        mark("{step} was reported by the person for {done_on} and is not confirmed."),
        mark("A coordinator confirms it on the person's page."),
        rule=mark("What a person reports counts at once only where the step says so."),
        source=DEFAULT,
    ),
    "step_below_mark": Entry(
        mark("{step}: {score} reached, the pass mark is {mark}."),
        mark("Try {step} once more."),
        rule=mark("A step with a pass mark counts from that mark on."),
        source=DEFAULT,
    ),
    "no_track": Entry(
        mark("Nobody can be cleared {role:to_do} on that day: no track is in force."),
        mark("A coordinator puts a track in force on the page Training."),
        rule=_CLEARED,
        source=COMMON,
    ),
    "too_young": Entry(
        mark("Too young {role:to_do}: the youngest age is {youngest}; it is reached on {from_on}."),
        mark("From {from_on} on this is no longer in the way."),
        rule=_AGE,
        source=mark("our own default; FWS 150 FW 2 lets units set a youngest age"),
    ),
    "too_young_alone": Entry(
        mark("Under {youngest} nobody comes without the own guardian; {from_on} is the first day."),
        mark("Come together with the own guardian, or choose a day from {from_on} on."),
        rule=_AGE,
        source=mark("our own default; FWS 150 FW 2 lets units set a youngest age"),
    ),
    "age_unknown": Entry(
        mark("Neither a birth date nor being of age is on record."),
        mark("Record the birth date, or that the person is of age."),
        rule=_AGE,
        source=DEFAULT,
    ),
    "person_left": Entry(
        mark("{name} has left the programme."),
        mark("Take the person on again on the person's page, if that is wished."),
        rule=_CLEARED,
        source=COMMON,
    ),
    "role_suspended": Entry(
        mark("Suspended from {from_on}, no end set; not cleared {role:to_do}."),
        mark("A coordinator can end the suspension."),
        rule=_WITHHELD,
        source=COMMON,
    ),
    "role_suspended_until": Entry(
        mark("Suspended from {from_on} to {last_day}; not cleared {role:to_do}."),
        mark("Choose a day after {last_day}."),
        rule=_WITHHELD,
        source=COMMON,
    ),
    "role_revoked": Entry(
        mark("Not cleared {role:to_do} from {from_on} on, by decision of a coordinator."),
        mark("A coordinator decides whether the role is given back."),
        rule=_WITHHELD,
        source=COMMON,
    ),
    "role_revoked_until": Entry(
        mark(
            "Not cleared {role:to_do} from {from_on} to {last_day}, by decision of a coordinator."
        ),
        mark("Choose a day after {last_day}."),
        rule=_WITHHELD,
        source=COMMON,
    ),
    # Clear sentences on the person's page
    "steps_hold": Entry(
        plural(
            "The other step of the track holds on that day.",
            "All {n} other steps of the track hold on that day.",
            by="n",
        ),
        None,
        rule=_CLEARED,
        source=COMMON,
    ),
    "all_steps_hold": Entry(
        plural(
            "The one step of the track holds on that day.",
            "All {n} steps of the track hold on that day.",
            by="n",
        ),
        None,
        rule=_CLEARED,
        source=COMMON,
    ),
    # Refusals of recording
    "done_in_future": Entry(
        mark("{step} cannot be finished on {day}: that day is still to come."),
        mark("Record it on the day, or correct the date."),
    ),
    "done_before_birth": Entry(
        mark("{day} is before the person was born."),
        mark("Correct the date."),
    ),
    "own_end_before_done": Entry(
        mark("The last valid day {last_day} is before the day it was done, {day}."),
        mark("Correct one of the two dates."),
    ),
    "score_out_of_range": Entry(
        mark("{value} is not a mark between 0 and 100."),
        mark("Write the mark in per cent, or leave it out."),
    ),
    "prerequisite_missing": Entry(
        mark("{needs} comes before {step}, and did not hold on {day}."),
        mark("Finish {needs} first."),
        rule=mark("Some steps come before others."),
        source=DEFAULT,
    ),
    "step_is_signed": Entry(
        mark("{step} is finished by signing, not by recording."),
        mark("Record the signature under Papers."),
    ),
    "already_recorded": Entry(
        mark("This was recorded before; it is not recorded twice."),
        mark("Look at what is on record."),
    ),
    "already_ended": Entry(
        mark("This was ended before; nothing was changed."),
        mark("Look at what is on record."),
    ),
    "code_taken": Entry(
        mark("The code {value} is in use."),
        mark("Choose another code."),
    ),
    "track_without_steps": Entry(
        mark("A track needs at least one step."),
        mark("Choose its steps in order."),
    ),
    "step_twice": Entry(
        mark("The step {step} stands in the track twice."),
        mark("Name each step once."),
    ),
    "prerequisite_ring": Entry(
        mark("{step} would have to come before itself."),
        mark("Take one of the steps out of those that come before."),
    ),
    "reason_needed": Entry(
        mark("This needs a reason in words."),
        mark("Write in a few words why."),
    ),
}
