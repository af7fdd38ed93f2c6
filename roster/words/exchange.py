"""Sentences about import and export."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark, plural

_ALL = mark("An import takes every row or none.")
_UNDO = mark("An import is taken back whole, and only while nothing was built on it.")

SENTENCES: dict[str, Entry] = {
    "file_not_utf8": Entry(
        mark("{name} is not in UTF-8: line {line} holds a letter that cannot be read."),
        mark("Save it as CSV UTF-8, or as XLSX, and send it again."),
    ),
    "file_broken": Entry(
        mark("{name} is not a whole XLSX file; it may have been cut off on the way."),
        mark("Save the spreadsheet anew and send it again."),
    ),
    "file_empty": Entry(
        mark("{name} holds no rows."),
        mark("Send a spreadsheet with headings in its first row and one row each below."),
    ),
    "file_not_a_table": Entry(
        mark("{name} cannot be read as a table."),
        mark("Save it as CSV UTF-8 or as XLSX, with headings in the first row."),
    ),
    "file_kind_unknown": Entry(
        mark("{name} is neither CSV nor XLSX."),
        mark("Save the spreadsheet as CSV UTF-8 or as XLSX."),
    ),
    "file_too_large": Entry(
        mark("{name} is too large; {most} MB are the most."),
        mark("Part it into several files."),
    ),
    "file_too_many_rows": Entry(
        mark("{name} has too many rows; {most:number} are the most."),
        mark("Part it into several files."),
    ),
    "column_missing": Entry(
        mark("No column is headed {column}."),
        mark("Give the column that heading, and send the file again."),
    ),
    "column_twice": Entry(
        mark("Two columns mean the same: {other} and {column}."),
        mark("Take one of them out, and send the file again."),
    ),
    "import_rows_refused": Entry(
        plural(
            "One of {total} rows cannot be used: row {rows}. {first}",
            "{n} of {total} rows cannot be used: rows {rows}. The first: {first}",
            by="n",
        ),
        mark("Nothing was changed. Mend these rows, and send the file again."),
        rule=_ALL,
        source=DEFAULT,
    ),
    "import_nothing_new": Entry(
        mark("Every row is on record already."),
        mark("Nothing is left to do."),
    ),
    "import_file_gone": Entry(
        mark("The file of this trial is no longer kept, or it was changed."),
        mark("Send the file again."),
    ),
    "address_twice_in_file": Entry(
        mark("The address {address} stands in row {line} too."),
        mark("One sign-in address belongs to one person; take one of the rows out."),
    ),
    "cell_missing": Entry(
        mark("The cell of {column:column} is empty."),
        mark("Fill it in."),
    ),
    "person_twice_in_file": Entry(
        mark("The same stands in row {line} too."),
        mark("Take one of the rows out."),
    ),
    "person_of_that_name": Entry(
        mark("Somebody of the same name is on record: V{person}."),
        mark("Give the address, the birth date, or the number V{person} in the row."),
    ),
    "person_not_known": Entry(
        mark("There is no person {value}."),
        mark("Give the number (as V123) or the sign-in address as it is in People."),
    ),
    "step_not_known": Entry(
        mark("There is no step {value}."),
        mark("Write the step's code or name as on the page Training."),
    ),
    "region_not_known": Entry(
        mark("There is no region {value}."),
        mark("Write the region's code or name."),
    ),
    "bad_number_of_person": Entry(
        mark("{value} is not a person's number."),
        mark("Write it as V123."),
    ),
    "batch_undone": Entry(
        mark("Import {batch} was taken back before."),
        None,
        rule=_UNDO,
        source=COMMON,
    ),
    "batch_built_on": Entry(
        plural(
            "Import {batch} cannot be taken back: {name} has since been acted on.",
            "Import {batch} cannot be taken back: {n} people have since been acted on, "
            "{name} among them.",
            by="n",
        ),
        mark("Correct these people one by one on their pages."),
        rule=_UNDO,
        source=COMMON,
    ),
    "batch_not_undoable": Entry(
        mark("An import of {kind} is not taken back."),
        mark("Import the former file again."),
        rule=_UNDO,
        source=COMMON,
    ),
}
