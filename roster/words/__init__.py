"""Reasons, stages and days in words, in a language: `say`, `word`, `formats`, `translator`."""

from roster.words.entry import Entry, Plural, mark, plural
from roster.words.sentences import Said, say
from roster.words.terms import word

__all__ = ["Entry", "Plural", "Said", "mark", "plural", "say", "word"]
