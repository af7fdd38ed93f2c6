"""Sentences about sites, permissions, closures and populations."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
