"""Walks through the pages of one browser along their links."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser

from werkzeug.test import TestResponse

from tests.support.browser import Browser

SPOKEN_ATTRIBUTES = ("aria-label", "title", "placeholder", "alt", "data-label", "data-unit")
SILENT = {"script", "style", "code"}
STARTS = ("/", "/sign-in", "/nowhere")


class Page(HTMLParser):
    """What a reader sees or hears on a page, and its links."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.links: list[str] = []
        self._silent = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in SILENT
        given = dict(attrs)
        self.texts += [given[a] or "" for a in SPOKEN_ATTRIBUTES if a in given]
        if tag == "a" and (given.get("href") or "").startswith("/"):
            self.links.append(str(given["href"]).partition("#")[0])

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in SILENT

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.texts.append(data)


def pages(
    browser: Browser, most: int, headers: dict[str, str] | None = None
) -> Iterator[tuple[str, TestResponse, Page | None]]:
    """Each address that can be reached, its answer, and the page if it is one."""
    waiting, seen = list(STARTS), set[str]()
    while waiting and len(seen) < most:
        path = waiting.pop(0)
        if path in seen:
            continue
        seen.add(path)
        answer = browser.get(path, headers=headers)
        page = None
        if answer.location:
            waiting.append(answer.location)
        elif answer.mimetype == "text/html":
            page = Page(answer.get_data(as_text=True))
            waiting += page.links
        yield path, answer, page
