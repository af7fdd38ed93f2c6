"""Every code has words: a text, a remedy (or outright none), and facts in their forms."""

from __future__ import annotations

import ast
import re
from datetime import UTC, date, datetime
from pathlib import Path
from string import Formatter

import pytest

from roster.domain.reasons import Reason
from roster.words import Entry, Plural, mark, plural, say, sentences, terms, word
from roster.words.catalogue import PSEUDO
from roster.words.entry import Sentence

ROOT = Path(__file__).parents[2]
CODES = sorted(sentences.TABLE)
PLAIN_FORMS = {"", "short", "time", "percent", "word", "Word", "number", "list"}
NEVER_ON_A_SCREEN = re.compile(
    r"\b(waivers?|musters?|ripe share|outbox|completions?|shifts?|opportunit|proven gap|Poisson"
    r"|Hopkins|funnel|expires?)\b", re.I
)  # fmt: skip


def forms(sentence: Sentence | None) -> list[str]:
    if sentence is None:
        return []
    return [sentence.one, sentence.many] if isinstance(sentence, Plural) else [sentence]


@pytest.mark.parametrize("code", CODES)
def test_a_code_has_a_text_and_a_remedy_or_outright_none(code: str) -> None:
    entry = sentences.TABLE[code]
    for text in forms(entry.text):
        assert text
        assert text == text.strip()
    for text in forms(entry.remedy):
        assert re.fullmatch(r"[A-Z{0-9].*\S", text), text


@pytest.mark.parametrize("code", CODES)
def test_a_sentence_uses_only_forms_that_exist(code: str) -> None:
    entry = sentences.TABLE[code]
    for text in forms(entry.text) + forms(entry.remedy):
        for _literal, name, form, _conversion in Formatter().parse(text):
            if name is not None:
                assert name.isidentifier(), text
                assert form in PLAIN_FORMS or form in terms.TERMS, text


@pytest.mark.parametrize("code", CODES)
def test_a_sentence_keeps_to_the_words_of_the_trade(code: str) -> None:
    entry = sentences.TABLE[code]
    for text in [*forms(entry.text), *forms(entry.remedy), entry.rule or ""]:
        assert not NEVER_ON_A_SCREEN.search(text), text
        assert not re.search(r"\b(he|she|his|her|him)\b", text), text


def reasons_of_the_domain() -> set[str]:
    """Every code that stands as the first argument of Reason(...) anywhere in our code."""
    found: set[str] = set()
    for path in (ROOT / "roster").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            is_reason = isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Reason"
            if is_reason and node.args and isinstance(node.args[0], ast.Constant):
                found.add(str(node.args[0].value))
    return found


def test_every_code_that_the_code_speaks_has_words() -> None:
    assert reasons_of_the_domain() - sentences.TABLE.keys() == set()


def test_a_code_without_words_raises() -> None:
    with pytest.raises(KeyError, match="no_such_code"):
        say(Reason("no_such_code"))


def test_a_fact_that_is_missing_raises() -> None:
    with pytest.raises(KeyError, match="kind"):
        say(Reason("not_found", {"value": "V9"}))


def test_in_production_a_missing_sentence_shows_its_code() -> None:
    sentences.forgive(True)
    try:
        assert say(Reason("no_such_code")).text == "no such code"
    finally:
        sentences.forgive(False)


@pytest.fixture
def table(monkeypatch: pytest.MonkeyPatch) -> dict[str, Entry]:
    made: dict[str, Entry] = {}
    monkeypatch.setattr(sentences, "TABLE", made)
    return made


def test_facts_are_said_in_their_forms(table: dict[str, Entry]) -> None:
    table["x"] = Entry(
        mark("{who:list} {role:to_do} {day} {day:short} {at} {at:time} {share:percent} {n}"
             " {n:number} {m:Word} {m:word} {km}"), None, mark("rule"), "source",
    )  # fmt: skip
    facts = {
        "who": "Ana; Bea; Cal", "role": "lead", "day": date(2027, 6, 20), "share": 0.853,
        "at": datetime(2027, 6, 20, 14, 0, tzinfo=UTC), "time_zone": "America/Boise",
        "n": 1234, "m": 8, "km": 21.46,
    }  # fmt: skip
    said = say(Reason("x", facts))
    assert said.text.replace("\u00a0", " ") == (
        "Ana, Bea and Cal to lead Sun 20 Jun 2027 Sun 20 Jun Sun 20 Jun 2027, 08:00 MDT 08:00 MDT"
        " 85 % 1234 1,234 Eight eight 21.5"
    )
    assert (said.remedy, said.rule, said.source) == (None, "rule", "source")


@pytest.mark.parametrize(("n", "text"), [(1, "1 person"), (2, "2 people"), (0, "0 people")])
def test_a_sentence_bends_with_its_number(table: dict[str, Entry], n: int, text: str) -> None:
    table["x"] = Entry(plural("{n} person", "{n} people", by="n"), None)
    assert say(Reason("x", {"n": n})).text == text


def test_a_brace_in_a_fact_is_only_text(table: dict[str, Entry]) -> None:
    table["x"] = Entry(mark("{name}."), None)
    assert say(Reason("x", {"name": "{day} <b>"})).text == "{day} <b>."


def test_the_made_up_language_wraps_text_and_terms() -> None:
    said = say(Reason("not_found", {"kind": "person", "value": "V9"}), PSEUDO)
    assert said.text == "⟦There is no ⟦person⟧ V9.⟧"


def test_a_term_that_is_not_known_raises() -> None:
    with pytest.raises(KeyError):
        word("role", "captain")


def test_no_term_is_said_with_a_word_that_is_never_on_a_screen() -> None:
    for group in terms.TERMS.values():
        for text in group.values():
            assert not NEVER_ON_A_SCREEN.search(text), text
