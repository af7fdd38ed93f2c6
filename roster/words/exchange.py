"""Sentences about import and export."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
