"""Sentences about agreements, releases and guardian consent."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
