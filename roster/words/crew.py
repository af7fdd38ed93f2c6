"""Sentences about the crew check and the briefing."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
