"""The sentence for a reason: its text, what to do about it, the rule and the rule's source.

Forms of a fact in a sentence, after a colon: `{day:short}` without the year, `{at:time}` the time
alone, `{share:percent}`, `{n:word}` a number in letters, `{n:Word}` the same with a capital,
`{n:number}` with its thousands parted, `{names:list}` names parted by semicolons, `{role:role}` or
any other group of `roster.words.terms`. Without a form a day is "Sat 11 Jul 2026", an instant
"Sat 11 Jul 2026, 08:00 MDT" (in the zone of the fact `time_zone`), a whole number bare.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from string import Formatter

from roster.domain.reasons import Fact, Reason
from roster.words import (
    access,
    crew,
    decide,
    demo,
    events,
    exchange,
    formats,
    general,
    land,
    leads,
    letters,
    papers,
    people,
    plants,
    spots,
    terms,
    training,
    trial,
    upkeep,
)
from roster.words.catalogue import translator
from roster.words.entry import Entry, Plural, Sentence

log = logging.getLogger(__name__)
SUBJECTS = (
    access,
    crew,
    decide,
    demo,
    events,
    exchange,
    general,
    land,
    leads,
    letters,
    papers,
    people,
    plants,
    spots,
    training,
    trial,
    upkeep,
)


@dataclass(frozen=True)
class Said:
    """A reason in words; remedy, rule and source are None where there is none."""

    text: str
    remedy: str | None
    rule: str | None
    source: str | None


def _all() -> dict[str, Entry]:
    table: dict[str, Entry] = {}
    for subject in SUBJECTS:
        twice = table.keys() & subject.SENTENCES.keys()
        if twice:
            raise ValueError(f"{subject.__name__} says again: {', '.join(sorted(twice))}")
        table |= subject.SENTENCES
    return table


TABLE = _all()


class _Mercy:
    """Whether a missing code or fact is answered with the bare code instead of KeyError."""

    shown = False


def forgive(yes: bool) -> None:
    """In production a sentence that is missing must not take a page down: the code is shown."""
    _Mercy.shown = yes


def say(reason: Reason, language: str = "en", time_zone: str | None = None) -> Said:
    """The reason in words. Raises KeyError for a code or a fact that nobody has given words."""
    try:
        return _say(reason, language, time_zone)
    except KeyError:
        if not _Mercy.shown:
            raise
        log.exception("no words", extra={"code": reason.code})
        return Said(reason.code.replace("_", " "), None, None, None)


def _say(reason: Reason, language: str, time_zone: str | None) -> Said:
    entry = TABLE[reason.code]
    facts = reason.facts
    zone = time_zone or _zone_of(facts)
    fill = partial(_fill, facts=facts, language=language, time_zone=zone)
    speak = translator(language).gettext
    return Said(
        fill(entry.text),
        fill(entry.remedy) if entry.remedy is not None else None,
        speak(entry.rule) if entry.rule else None,
        speak(entry.source) if entry.source else None,
    )


def _zone_of(facts: Mapping[str, Fact]) -> str | None:
    zone = facts.get("time_zone")
    return zone if isinstance(zone, str) else None


def _fill(
    sentence: Sentence, *, facts: Mapping[str, Fact], language: str, time_zone: str | None
) -> str:
    catalogue = translator(language)
    if isinstance(sentence, Plural):
        number = facts[sentence.by]
        count = int(number) if isinstance(number, int | float) else 2
        pattern = catalogue.ngettext(sentence.one, sentence.many, count)
    else:
        pattern = catalogue.gettext(sentence)
    return _Facts(language, time_zone).vformat(pattern, (), facts)


class _Facts(Formatter):
    """Puts facts into a sentence, each in its form."""

    def __init__(self, language: str, time_zone: str | None) -> None:
        self.language, self.time_zone = language, time_zone

    def format_field(self, value: object, format_spec: str) -> str:
        if isinstance(value, datetime):
            return self._instant(value, format_spec)
        if isinstance(value, date):
            short = formats.day_short if format_spec == "short" else formats.day
            return short(value, self.language)
        if isinstance(value, int | float):
            return self._number(value, format_spec)
        return self._text("" if value is None else str(value), format_spec)

    def _instant(self, at: datetime, form: str) -> str:
        if form == "time":
            return formats.time(at, self.time_zone, self.language)
        return formats.moment(at, self.time_zone, self.language)

    def _number(self, value: float, form: str) -> str:
        if form == "percent":
            return formats.percent(value)
        if form in ("word", "Word"):
            said = formats.number_word(int(value), self.language)
            return said.capitalize() if form == "Word" else said
        if isinstance(value, int) and form != "number":
            return str(value)
        return formats.number(value, self.language)

    def _text(self, value: str, form: str) -> str:
        if form == "list":
            return formats.list_of([n.strip() for n in value.split(";")], self.language)
        return terms.word(form, value, self.language) if form else value
