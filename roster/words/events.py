"""Sentences about events, their stages and their dates."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
