"""Catalogues of translated strings: English is the source, es.mo lies beside this file."""

from __future__ import annotations

from functools import cache
from gettext import GNUTranslations, NullTranslations
from pathlib import Path

LANGUAGES = ("en", "es")
PSEUDO = "qps"  # wraps every marked string, so that a test sees which text was not marked
FOLDER = Path(__file__).resolve().parent


class Pseudo(NullTranslations):
    """A made-up language: every marked string stands between ⟦ and ⟧."""

    def gettext(self, message: str) -> str:
        """The string, wrapped."""
        return f"⟦{message}⟧" if message else ""

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form for one or for many, wrapped."""
        return self.gettext(msgid1 if n == 1 else msgid2)


@cache
def translator(language: str) -> NullTranslations:
    """The catalogue of a language; one that is unknown is answered with English."""
    if language == PSEUDO:
        return Pseudo()
    path = FOLDER / f"{language}.mo"
    if language == "en" or language not in LANGUAGES or not path.exists():
        return NullTranslations()
    with path.open("rb") as compiled:
        return GNUTranslations(compiled)


def known(language: str | None) -> str:
    """The language if we speak it, else English. `es-MX` is Spanish."""
    short = (language or "").replace("_", "-").split("-")[0].lower()
    return short if short in LANGUAGES or short == PSEUDO else "en"
