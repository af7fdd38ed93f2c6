"""Sentences about sign-up, spots and the waiting list."""

from roster.words.entry import Entry

SENTENCES: dict[str, Entry] = {}
