"""The Spanish catalogue: readable, never fuzzy, its placeholders those of the English."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from roster.words.catalogue import FOLDER, LANGUAGES, PSEUDO, known, translator

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def tool() -> ModuleType:
    spec = importlib.util.spec_from_file_location("ci_words", ROOT / ".ci" / "words.py")
    assert spec
    assert spec.loader
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def test_the_catalogue_has_no_fuzzy_string_and_no_lost_placeholder(tool: ModuleType) -> None:
    catalogue = tool.known("es")
    assert len(catalogue) > 100
    assert tool.mistakes(catalogue) == []


def test_a_lost_placeholder_is_found(tool: ModuleType) -> None:
    catalogue = tool.Catalog(locale="es")
    catalogue.add("{n} people", "personas")
    catalogue.add("%(n)s asked", "%(m)s")
    catalogue.add("%(n)s came", "vinieron %(n)s")
    assert len(tool.mistakes(catalogue)) == 2


def test_every_marked_string_is_in_the_catalogue(tool: ModuleType) -> None:
    listed = {m.id for m in tool.known("es")}
    missing = [m.id for m in tool.gathered() if m.id and m.id not in listed]
    assert missing == [], "run `python .ci/words.py update`"


def test_the_compiled_catalogue_is_that_of_the_text(tool: ModuleType) -> None:
    assert (FOLDER / "es.mo").read_bytes() == tool.mo_bytes(tool.known("es"))


def test_spanish_is_spoken_and_what_is_missing_is_english() -> None:
    assert translator("es").gettext("lead") == "responsable"
    assert translator("es").gettext("not in any catalogue") == "not in any catalogue"


@pytest.mark.parametrize(
    ("asked", "spoken"),
    [("es-MX", "es"), ("es_US", "es"), ("EN", "en"), ("fr", "en"), (None, "en"), (PSEUDO, PSEUDO)],
)
def test_a_language_is_one_that_we_speak(asked: str | None, spoken: str) -> None:
    assert known(asked) == spoken


def test_english_is_the_source() -> None:
    assert "en" in LANGUAGES
    assert translator("en").gettext("Sign in") == "Sign in"


def test_the_made_up_language_wraps_plurals() -> None:
    assert translator(PSEUDO).ngettext("one", "many", 2) == "⟦many⟧"
