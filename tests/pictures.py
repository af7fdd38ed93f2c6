"""Pictures of the screens for the README's tour, made with the demonstration: `make pictures`.

Written to tests/pictures, each screen on a desk and on a phone, in few colours to stay small.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from PIL import Image  # noqa: E402
from playwright.sync_api import Browser, sync_playwright  # noqa: E402

from roster.measure.demo import days, people  # noqa: E402
from roster.services import fieldday, fieldsheet  # noqa: E402
from tests.support.chromium import (  # noqa: E402
    DESK,
    PHONE,
    Watched,
    enter,
    executable,
    launch,
    served,
    window,
)
from tests.support.shown import SCREENS, Screen, Shown, shown  # noqa: E402

FOLDER = ROOT / "tests" / "pictures"
COLOURS = 128


def main(only: list[str]) -> int:
    """Take every picture, or those named; says what could not be shown. Exit 1 if any."""
    path = executable()
    if path is None:
        print("Chromium was not found: name one in ROSTER_CHROMIUM.", file=sys.stderr)
        return 2
    FOLDER.mkdir(exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
        shown(Path(folder)) as demo,
        served(demo.app) as address,
    ):
        browser = launch(playwright, path)
        wanted = [s for s in SCREENS if not only or s.name in only]
        missing = _both(browser, address, demo, [s for s in wanted if s.role != "lead"])
        _on_its_day(demo)
        missing += _both(browser, address, demo, [s for s in wanted if s.role == "lead"])
        browser.close()
    for one in missing:
        print(f"not shown: {one}", file=sys.stderr)
    return 1 if missing else 0


def _on_its_day(demo: Shown) -> None:
    """Saturday at 06:45: the lead is at the car park and has said who is here."""
    demo.scene.at(days.SATURDAY, 6, 45)
    lead, event = demo.scene.acting(people.LEAD), demo.scene.events["ready_this_weekend"]
    crew = fieldsheet.sheet(lead, event).people
    fieldday.mark_here(lead, event, {one.spot.id: True for one in crew})


def _both(browser: Browser, address: str, demo: Shown, screens: list[Screen]) -> list[str]:
    missing = []
    for size, suffix in ((DESK, "desk"), (PHONE, "phone")):
        windows: dict[str, Watched] = {}
        for screen in screens:
            if screen.role not in windows:
                windows[screen.role] = window(browser, address, size)
                if screen.role:
                    enter(windows[screen.role], demo.ways[screen.role])
            if not _take(windows[screen.role], demo.path(screen), f"{screen.name}-{suffix}.png"):
                missing.append(f"{screen.name} ({suffix})")
        for one in windows.values():
            one.context.close()
    return missing


def _take(watched: Watched, path: str, name: str) -> bool:
    answer = watched.page.goto(watched.address + path)
    if answer is None or answer.status >= 400:
        return False
    target = FOLDER / name
    watched.page.screenshot(path=target)
    Image.open(target).convert("RGB").quantize(COLOURS).save(target, optimize=True)
    return True


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
