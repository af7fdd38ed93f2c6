"""Fixtures of the browser tests; without Chromium they are skipped, and `make test` says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from flask import Flask
from playwright.sync_api import Browser, sync_playwright

from tests.support.chromium import DESK, Watched, executable, launch, served, window


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests."""
    path = executable()
    if path is None:
        pytest.skip("BROWSER TESTS NOT RUN: chromium not found")
    with sync_playwright() as playwright:
        browser = launch(playwright, path)
        yield browser
        browser.close()


@pytest.fixture
def address(app: Flask) -> Iterator[str]:
    """The application of this test behind a real socket."""
    with served(app) as where:
        yield where


@pytest.fixture
def open_window(chromium: Browser, address: str) -> Iterator[Callable[..., Watched]]:
    """Opens windows; at the end none of them may have complained."""
    opened: list[Watched] = []

    def make(size: tuple[int, int] = DESK, **options: Any) -> Watched:
        opened.append(window(chromium, address, size, **options))
        return opened[-1]

    yield make
    for one in opened:
        one.context.close()
    assert [c for one in opened for c in one.complaints] == []
