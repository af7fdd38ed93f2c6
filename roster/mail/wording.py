"""Subject and body of each kind of mail, from templates/mail/KIND.txt and KIND.html.

The first line of the text template is the subject. Names, days and places come in as words
of the reader's language already; the templates hold the sentences around them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape

from roster.mail.message import Body

_BLANK = re.compile(r"\n[ \t]*\n\s*\n")


class Kind(StrEnum):
    """What a mail is about; the code word names its two templates."""

    SIGN_IN = "sign_in"
    INVITATION = "invitation"
    UPDATE = "update"
    CANCELLATION = "cancellation"
    CALL_OFF = "call_off"
    OFFERED_SPOT = "offered_spot"
    WAITING = "waiting"
    LEAD_ASKED = "lead_asked"
    LEAD_FOUND = "lead_found"
    ASKED_AGAIN = "asked_again"
    SEVERAL = "several"
    REMINDER = "reminder"
    SEEN_IT = "seen_it"
    GUARDIAN_COPY = "guardian_copy"
    GUARDIAN_CONSENT_LINK = "guardian_consent_link"


@dataclass(frozen=True)
class EventCard:
    """The event as a mail shows it, in words.

    `weekday`, `day_number` and `rest` read on as one line: Sunday | 20 | June 2027, 07:00 to
    12:30 PDT. An expected window has only `rest`. `lines` are (label, text) pairs: Meet,
    Lead, Bring, Expect.
    """

    title: str
    place: str
    day_short: str
    rest: str
    weekday: str = ""
    day_number: str = ""
    lines: tuple[tuple[str, str], ...] = ()

    @property
    def when(self) -> str:
        """Day and hours in one line of plain text."""
        return " ".join(part for part in (self.weekday, self.day_number, self.rest) if part)


@dataclass(frozen=True)
class Letter:
    """What the templates of one kind are given; `facts` holds what only this kind needs."""

    kind: Kind
    language: str
    programme: str
    name: str
    links: Mapping[str, str]
    event: EventCard | None = None
    facts: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Tongue:
    """The translations of one language: gettext's two questions."""

    gettext: Callable[[str], str]
    ngettext: Callable[[str, str, int], str]


PLAIN = Tongue(lambda text: text, lambda one, many, n: one if n == 1 else many)


class Wording:
    """Makes bodies of letters; one set of templates, one tongue a language."""

    def __init__(self, templates: Path, tongue: Callable[[str], Tongue]) -> None:
        self._loader = FileSystemLoader(templates)
        self._tongue = tongue
        self._environments: dict[str, Environment] = {}

    def body(self, letter: Letter) -> Body:
        """Subject, text and HTML; a fact that the template wants and is not there raises."""
        environment = self._environment(letter.language)
        given = {
            "letter": letter,
            "event": letter.event,
            "links": letter.links,
            "language": letter.language,
            **letter.facts,
        }
        written = environment.get_template(f"mail/{letter.kind}.txt").render(given)
        subject, _, text = written.partition("\n")
        html = environment.get_template(f"mail/{letter.kind}.html").render(given, subject=subject)
        return Body(subject.strip(), _BLANK.sub("\n\n", text).strip() + "\n", html)

    def _environment(self, language: str) -> Environment:
        if language not in self._environments:
            self._environments[language] = self._made(self._tongue(language))
        return self._environments[language]

    def _made(self, tongue: Tongue) -> Environment:
        environment = Environment(
            loader=self._loader,
            autoescape=select_autoescape(["html"]),
            undefined=StrictUndefined,
            extensions=["jinja2.ext.i18n"],
            trim_blocks=True,
            lstrip_blocks=True,
        )
        # mypy: the extension adds this method when it is loaded
        environment.install_gettext_callables(  # type: ignore[attr-defined]
            tongue.gettext, tongue.ngettext, newstyle=True
        )
        return environment
