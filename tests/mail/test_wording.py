"""What mails say: both bodies of every kind, subjects with date and place, nothing injected."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import pytest
from jinja2 import UndefinedError

from roster.mail.wording import Kind, Tongue, Wording
from tests.mail.samples import CARD, FACTS, HOME, TEMPLATES, WITHOUT_EVENT, WORDING, letter


class Reader(HTMLParser):
    """Elements, links and text of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [v for k, v in attrs if k in ("href", "src") and v]

    def handle_data(self, data: str) -> None:
        self.text += data


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_says_the_same_in_text_and_html(kind: Kind) -> None:
    body = WORDING.body(letter(kind))
    page = read(body.html)
    said = " ".join(page.text.split())
    for value in FACTS[kind].values():
        if isinstance(value, str):
            assert value in body.text
            assert value in said
    assert set(page.links) == {w for w in body.text.split() if w.startswith(HOME)}
    assert page.tags.count("h1") == (0 if kind in WITHOUT_EVENT else 1)
    assert "\n\n\n" not in body.text


@pytest.mark.parametrize("kind", [k for k in Kind if k not in WITHOUT_EVENT])
def test_the_subject_of_an_event_mail_says_day_and_place(kind: Kind) -> None:
    body = WORDING.body(letter(kind))
    assert "Sun 20 Jun 2027" in body.subject
    assert "Marrow Butte" in body.subject
    assert "Sunday 20 June 2027, 07:00 to 12:30 PDT" in body.text


def test_no_mail_loads_a_picture_or_anything_else_from_afar() -> None:
    for kind in Kind:
        tags = read(WORDING.body(letter(kind)).html).tags
        assert not {"img", "script", "link", "iframe", "style"} & set(tags)


@pytest.mark.parametrize("kind", list(Kind))
def test_hostile_facts_stay_text(kind: Kind) -> None:
    evil = "<img src=x onerror=alert(1)> {{ 7 * 7 }} %(name)s & \"'"
    facts = {k: evil for k, v in FACTS[kind].items() if isinstance(v, str)}
    card = None if kind in WITHOUT_EVENT else replace(CARD, title=evil, lines=(("Meet", evil),))
    hostile = replace(letter(kind, **facts), name=evil, programme=evil, event=card)
    page = read(WORDING.body(hostile).html)
    assert "img" not in page.tags
    assert evil in " ".join(page.text.split())


def test_a_missing_fact_is_an_error_and_never_an_empty_place() -> None:
    with pytest.raises(UndefinedError):
        WORDING.body(replace(letter(Kind.WAITING), facts={}))


def test_an_expected_window_has_no_weekday() -> None:
    window = replace(CARD, weekday="", day_number="", rest="expected between 10 and 16 June 2027")
    body = WORDING.body(replace(letter(Kind.INVITATION), event=window))
    assert "expected between 10 and 16 June 2027" in body.text


def test_every_sentence_goes_through_the_translations() -> None:
    backwards = Tongue(lambda t: f"¡{t}!", lambda one, many, n: one)
    marked = Wording(TEMPLATES, lambda language: backwards)
    for kind in Kind:
        body = marked.body(letter(kind))
        assert body.subject.startswith("¡")
        assert "You get this because" not in body.text.replace("¡You get this because", "")
