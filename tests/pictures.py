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

from tests.support.chromium import (  # noqa: E402
    DESK,
    PHONE,
    enter,
    executable,
    launch,
    served,
    window,
)
from tests.support.shown import SCREENS, Shown, shown  # noqa: E402

FOLDER = ROOT / "tests" / "pictures"
COLOURS = 48


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
        missing = [
            one
            for size, suffix in ((DESK, "desk"), (PHONE, "phone"))
            for one in _take(browser, address, demo, (size, suffix, only))
        ]
        browser.close()
    for one in missing:
        print(f"not shown: {one}", file=sys.stderr)
    return 1 if missing else 0


def _take(
    browser: Browser, address: str, demo: Shown, how: tuple[tuple[int, int], str, list[str]]
) -> list[str]:
    size, suffix, only = how
    missing, windows = [], {}
    for screen in SCREENS:
        if only and screen.name not in only:
            continue
        if screen.role not in windows:
            windows[screen.role] = window(browser, address, size)
            if screen.role:
                enter(windows[screen.role], demo.ways[screen.role])
        page = windows[screen.role].page
        answer = page.goto(address + demo.path(screen))
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
