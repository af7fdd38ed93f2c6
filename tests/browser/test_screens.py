"""Every screen of the demonstration in a real browser: nothing complains, nothing is cut off.

axe-core, rules of WCAG 2.0 to 2.2 A and AA; it finds only a part of what can be wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.support.chromium import AXE, DESK, PHONE, Watched, enter, served, window
from tests.support.shown import SCREENS, Screen, Shown, shown

pytestmark = pytest.mark.browser
NARROW = (320, 720)
TWICE = """(ids => ids.filter((id, at) => ids.indexOf(id) !== at))(
    [...document.querySelectorAll("[id]")].map(one => one.id))"""
ids = [s.name for s in SCREENS]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shown, str]]:
    """The demonstration behind a real socket."""
    with shown(tmp_path_factory.mktemp("shown")) as made, served(made.app) as address:
        yield made, address


@pytest.fixture(scope="module")
def windows(demo: tuple[Shown, str], chromium: Browser) -> Iterator[dict[tuple, Watched]]:
    """One window for each role, size and scheme, signed in once."""
    opened: dict[tuple, Watched] = {}
    yield opened
    for one in opened.values():
        one.context.close()


def look(demo: tuple[Shown, str], windows: dict, chromium: Browser, how: tuple) -> Watched:
    """The screen in the window of its role, size and scheme."""
    screen, size, scheme = how
    made, address = demo
    key = (screen.role, size, scheme)
    if key not in windows:
        windows[key] = window(chromium, address, size, color_scheme=scheme)
        if screen.role:
            enter(windows[key], made.ways[screen.role])
    watched: Watched = windows[key]
    watched.complaints.clear()
    watched.go(made.path(screen))
    return watched


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["390", "1280"])
@pytest.mark.parametrize("screen", SCREENS, ids=ids)
def test_a_screen_fits_asks_no_stranger_and_has_no_fault_of_access(
    demo, windows, chromium, screen: Screen, size, scheme
):
    watched = look(demo, windows, chromium, (screen, size, scheme))
    watched.no_sideways_scroll()
    assert watched.page.locator("h1").count() == 1
    assert watched.page.evaluate(TWICE) == []
    assert watched.complaints == []
    if AXE.exists():  # `make test` says loudly where it is not
        assert watched.axe() == []


@pytest.mark.parametrize("screen", SCREENS, ids=ids)
def test_a_screen_fits_a_window_of_320_pixels(demo, windows, chromium, screen: Screen):
    """WCAG 2.1, 1.4.10 Reflow."""
    watched = look(demo, windows, chromium, (screen, NARROW, "light"))
    watched.no_sideways_scroll()
    assert watched.complaints == []


@pytest.mark.parametrize("screen", SCREENS, ids=ids)
def test_large_letters_still_fit(demo, windows, chromium, screen: Screen):
    watched = look(demo, windows, chromium, (screen, DESK, "light"))
    watched.page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")
    watched.no_sideways_scroll()
    watched.complaints.clear()


@pytest.mark.parametrize("screen", SCREENS, ids=ids)
def test_the_keyboard_reaches_the_sheet_first_and_shows_where_it_is(
    demo, windows, chromium, screen: Screen
):
    watched = look(demo, windows, chromium, (screen, DESK, "light"))
    watched.page.keyboard.press("Tab")
    first = watched.page.evaluate("document.activeElement.getAttribute('href')")
    assert first is not None
    assert first.startswith("#")
    watched.page.keyboard.press("Tab")
    outline = watched.page.evaluate(
        "(s => s.outlineStyle + ' ' + s.outlineWidth)(getComputedStyle(document.activeElement))"
    )
    assert not outline.startswith("none")
