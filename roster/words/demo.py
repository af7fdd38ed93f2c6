"""Sentences about the demonstration season."""

from roster.words.entry import Entry, mark, plural

_APART = mark("Invented people are never mixed with real ones.")

SENTENCES: dict[str, Entry] = {
    "database_has_real_people": Entry(
        mark("This database holds a programme of its own, so no demonstration is put into it."),
        mark("Name another database in ROSTER_DATABASE_URL, or leave that setting out."),
        rule=_APART,
    ),
    "demo_met_strangers": Entry(
        plural(
            "One address in this demonstration is not an invented one: somebody real was added.",
            "{n} addresses in this demonstration are not invented ones: real people were added.",
            by="n",
        ),
        mark("Keep this database and name another in ROSTER_DATABASE_URL."),
        rule=_APART,
    ),
}
