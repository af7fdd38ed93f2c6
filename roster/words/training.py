"""Sentences about steps, clearance and roles."""

from roster.words.entry import Entry, mark

SENTENCES: dict[str, Entry] = {
    "step_missing": Entry(
        mark("The step {step} is not finished."),
        mark("Finish {step}; a coordinator can record it."),
    ),
}
