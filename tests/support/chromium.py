"""A real browser for tests: the system's Chromium, no internet, every error is a failure."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Thread
from typing import Any

from flask import Flask
from playwright.sync_api import Browser, BrowserContext, Page, Playwright
from werkzeug.serving import WSGIRequestHandler, make_server

AXE = Path(__file__).parent.parent / "node_modules" / "axe-core" / "axe.min.js"
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
PHONE, DESK = (390, 844), (1280, 800)
NO_INTERNET = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"


def executable() -> str | None:
    """The path of Chromium: ROSTER_CHROMIUM, or one of the usual names; None if there is none."""
    names = ("chromium", "chromium-browser", "google-chrome")
    named = os.environ.get("ROSTER_CHROMIUM")
    return next(filter(None, map(shutil.which, [named] if named else names)), None)


def launch(playwright: Playwright, path: str) -> Browser:
    """Start it; no name but this machine's own is resolved."""
    return playwright.chromium.launch(executable_path=path, args=[NO_INTERNET])


class _Silent(WSGIRequestHandler):
    def log_request(self, *_said: object) -> None:
        """Requests are looked at by the tests themselves."""


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """The application behind a real socket of this machine; gives its address."""
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=_Silent)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()


@dataclass
class Watched:
    """A browser window that keeps every complaint: script errors, console errors, strangers."""

    context: BrowserContext
    address: str
    complaints: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page = self.context.new_page()
        self.page.set_default_timeout(5000)
        self.page.on("pageerror", lambda error: self.complaints.append(f"script: {error}"))
        self.page.on("console", self._console)
        self.page.on("request", self._request)

    def _console(self, message: Any) -> None:
        if message.type == "error" and not any(e in message.text for e in self.expected):
            self.complaints.append(f"console: {message.text}")

    def _request(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:")):
            self.complaints.append(f"a stranger was asked: {request.url}")

    def go(self, path: str) -> Page:
        """Open a path of the service."""
        answer = self.page.goto(self.address + path)
        assert answer is not None, path
        assert answer.status < 400, f"{path}: {answer.status}\n{self.page.inner_text('body')}"
        return self.page

    def no_sideways_scroll(self) -> None:
        """The page fits its window (WCAG 1.4.10)."""
        wide, seen = self.page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert wide <= seen, f"{self.page.url} scrolls sideways: {wide} > {seen}"

    def axe(self) -> list[str]:
        """What the accessibility checker finds on this page, one line a fault."""
        self.page.evaluate(AXE.read_text(encoding="utf-8"))
        found = self.page.evaluate(f"axe.run(document, {{runOnly: {WCAG!r}}})")
        return [
            f"{self.page.url}: {v['id']}: {v['help']} at {n['target']} {n.get('failureSummary')}"
            for v in found["violations"]
            for n in v["nodes"]
        ]


def window(browser: Browser, address: str, size: tuple[int, int], **options: Any) -> Watched:
    """A window of that size; a narrow one is a phone with touch."""
    phone = size[0] < 600
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        is_mobile=phone,
        has_touch=phone,
        timezone_id="America/Los_Angeles",
        locale="en-US",
        reduced_motion="reduce",
        service_workers="block",
        **options,
    )
    return Watched(context, address)


def enter(watched: Watched, way: str) -> None:
    """Come in by a way of the development mode: one press."""
    watched.go(way).locator("main button").first.click()
    watched.page.wait_for_url(lambda url: "/enter/" not in url)
