"""Sentences about keeping the service itself."""

from roster.words.entry import Entry, mark

SENTENCES: dict[str, Entry] = {
    "unknown_measure": Entry(
        mark("There is nothing of this name to measure."), mark("Name one of: {known}.")
    ),
    "cannot_write": Entry(
        mark("The file cannot be written: {why}."),
        mark("Name a folder that exists and that this user may write to."),
    ),
    "no_such_file": Entry(mark("There is no file {name}."), mark("Check the path.")),
    "bad_backup": Entry(
        mark("This file cannot be restored: {why}."),
        mark(
            "Take another backup, or the key with which this one was sealed. Nothing was changed."
        ),
    ),
    "backup_of_other_release": Entry(
        mark("The backup was made at schema {theirs}, this release has {ours}."),
        mark("Restore it with the release that made it, then run upgrade of this one."),
    ),
    "database_in_use": Entry(
        mark("The database already holds people or events."),
        mark("Restore into an empty database, or add --replace to put the backup in its place."),
    ),
    "guards_missing": Entry(
        mark("Guards that keep records from being changed are missing: {names}."),
        mark("Run python -m roster upgrade, which makes them again."),
    ),
    "check_broke": Entry(
        mark("This could not be looked at: {why}."),
        mark("Mend what the message names, then run doctor again."),
    ),
    "python_version": Entry(mark("Python {version}; 3.11 or newer is needed."), None),
    "tzdata_version": Entry(mark("Rules of time zones: tzdata {version}."), None),
    "schema_behind": Entry(
        mark("The database stands at schema {there}, this release needs {wanted}."),
        mark("Run python -m roster upgrade."),
    ),
    "schema_at_head": Entry(mark("The database stands at schema {revision}, as it should."), None),
    "guards_stand": Entry(mark("All guards of kept records stand."), None),
    "folder_writable": Entry(mark("{name} can be written."), None),
    "keys_open_to_others": Entry(
        mark("Signing keys can be read by others: {names}."),
        mark("Set their mode to 0600."),
    ),
    "keys_closed": Entry(mark("Nobody else can read the signing keys in {name}."), None),
    "disk_free": Entry(
        mark("{megabytes} MB are free; {least} MB are the least to run with."),
        None,
    ),
    "mail_to_folder": Entry(
        mark("No mail server is set: messages are written to the instance folder."),
        mark("Set ROSTER_SMTP_URL where people should really be told."),
    ),
    "mail_by_smtp": Entry(mark("Messages go out by the mail server that is set."), None),
    "jobs_never_ran": Entry(
        mark("The job process has never run: nothing is mailed, nobody is reminded."),
        mark("Start python -m roster jobs run beside the web service."),
    ),
    "jobs_silent": Entry(
        mark("The job process has been silent for {minutes} minutes."),
        mark("Look at its log and start it again; alarms depend on it."),
    ),
    "jobs_beat": Entry(mark("The job process gave its last sign {seconds} seconds ago."), None),
}
