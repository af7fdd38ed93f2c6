"""Pictures of the screens for the README's tour, made with the demonstration: `make pictures`.

Written to tests/pictures, each screen on a desk and on a phone, in few colours to stay small.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from PIL import Image  # noqa: E402
from playwright.sync_api import Browser, sync_playwright  # noqa: E402

from roster.measure.demo import season  # noqa: E402
from roster.measure.demo.scene import Scene  # noqa: E402
from roster.services import enter, upkeep  # noqa: E402
from roster.services.clock import SetClock  # noqa: E402
from tests.support.chromium import DESK, PHONE, executable, launch, served, window  # noqa: E402
from tests.support.databases import opened  # noqa: E402

FOLDER = ROOT / "tests" / "pictures"
COLOURS = 48


@dataclass(frozen=True)
class Screen:
    """One screen: its file name, who looks, and where; {event} is the ready one of the weekend."""

    name: str
    role: str
    path: str


SCREENS = (
    Screen("sign-in", "", "/sign-in"),
    Screen("to-decide", "coordinator", "/decide"),
    Screen("events", "coordinator", "/events"),
    Screen("event", "coordinator", "/events/{event}"),
    Screen("event-lead-lapses", "coordinator", "/events/{lead_lapses}"),
    Screen("people", "coordinator", "/people"),
    Screen("person", "coordinator", "/people/{lapsing}"),
    Screen("plants", "coordinator", "/plants"),
    Screen("import", "coordinator", "/import"),
    Screen("my-days", "volunteer", "/days"),
    Screen("help-wanted", "volunteer", "/help-wanted"),
    Screen("my-training", "volunteer", "/training"),
    Screen("my-calendar", "volunteer", "/calendar"),
    Screen("field-sheet", "lead", "/field/{event}"),
)


def main(only: list[str]) -> int:
    """Take every picture, or those named; says what could not be shown. Exit 1 if any."""
    path = executable()
    if path is None:
        print("Chromium was not found: name one in ROSTER_CHROMIUM.", file=sys.stderr)
        return 2
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        clock = SetClock(datetime(2027, 5, 20, 16, tzinfo=UTC))
        with opened(f"sqlite:///{folder}/roster.sqlite", Path(folder), clock) as app:
            upkeep.upgrade()
            scene = Scene(clock)
            story = season.fill(scene)
            ways = {way.role: way.path for way in enter.enter_codes()}
            numbers = {
                "event": story.events["ready_this_weekend"],
                "lapsing": scene.crew.people["Hollis Nakamura"],
                **story.events,
            }
            browser = launch(playwright, path)
            with served(app) as address:
                missing = _take(browser, address, ways, numbers, only)
            browser.close()
    for one in missing:
        print(f"not shown: {one}", file=sys.stderr)
    return 1 if missing else 0


def _take(
    browser: Browser, address: str, ways: dict[str, str], numbers: dict[str, int], only: list[str]
) -> list[str]:
    missing = []
    for size, suffix in ((DESK, "desk"), (PHONE, "phone")):
        windows = {}
        for screen in SCREENS:
            if only and screen.name not in only:
                continue
            if screen.role not in windows:
                windows[screen.role] = window(browser, address, size)
                if screen.role:
                    windows[screen.role].go(ways[screen.role]).locator("main button").click()
            page = windows[screen.role].page
            answer = page.goto(address + screen.path.format(**numbers))
            if answer is None or answer.status >= 400:
                missing.append(f"{screen.name} ({answer.status if answer else 'no answer'})")
                continue
            target = FOLDER / f"{screen.name}-{suffix}.png"
            page.screenshot(path=target)
            Image.open(target).convert("RGB").quantize(COLOURS).save(target, optimize=True)
        for one in windows.values():
            one.context.close()
    return missing


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
