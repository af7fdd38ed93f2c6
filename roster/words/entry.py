"""What stands in the tables of sentences: one entry a code, its strings marked for translation."""

from __future__ import annotations

from dataclasses import dataclass


def mark(text: str) -> str:
    """The text itself; the name tells the extractor that it is to be translated."""
    return text


@dataclass(frozen=True)
class Plural:
    """A sentence that depends on a number: `by` names the fact that holds it."""

    one: str
    many: str
    by: str


def plural(one: str, many: str, by: str) -> Plural:
    """A sentence with a form for one and a form for many, chosen by the whole number in fact `by`.

    The name and the first two arguments tell the extractor what is to be translated.
    """
    return Plural(one, many, by)


Sentence = str | Plural

COMMON = mark("common practice, no source")
DEFAULT = mark("our own default; a setting")
MEMORY = mark("from memory")


@dataclass(frozen=True)
class Entry:
    """The words for one code.

    text: the sentence, with `{fact}` or `{fact:form}` for each fact (forms: see `sentences`).
    remedy: what the reader can do about it; None says outright that there is nothing to do.
    rule: the short name of the rule behind it. source: the published source, COMMON or DEFAULT.
    """

    text: Sentence
    remedy: Sentence | None
    rule: str | None = None
    source: str | None = None
