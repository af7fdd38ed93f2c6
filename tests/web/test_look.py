"""The look: nothing from elsewhere, nothing inline, contrasts as WCAG 2.2 asks, light pages."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from pathlib import Path

import pytest
from flask import Flask

from tests.support.browser import Browser
from tests.support.world import build

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "roster" / "static"
PAGES = [p for p in (ROOT / "templates").rglob("*.html") if p.parent.name != "mail"]
SCREEN_BYTES = 60_000


@pytest.mark.parametrize("page", PAGES, ids=lambda p: f"{p.parent.name}/{p.name}")
def test_a_template_is_plain(page: Path) -> None:
    text = page.read_text()
    assert not re.search(r"\sstyle\s*=", text), "style attribute"
    assert not re.search(r"<style|<script(?![^>]*\bsrc=)", text), "inline style or script"
    assert not re.search(r"\son[a-z]+\s*=\s*[\"']", text), "event handler"
    assert not re.search(r"(?:src|href)\s*=\s*[\"'](?:https?:)?//", text), "from elsewhere"
    assert "|safe" not in text.replace(" ", ""), "text that is not escaped"
    assert len(text.splitlines()) <= 150


@pytest.mark.parametrize("sheet", sorted(STATIC.glob("*.css")), ids=lambda p: p.name)
def test_a_style_sheet_fetches_nothing(sheet: Path) -> None:
    text = sheet.read_text()
    assert "url(" not in text
    assert "@import" not in text
    assert text.count("{") == text.count("}")


def test_what_is_vendored_is_what_the_manifest_says() -> None:
    folder = STATIC / "vendor"
    listed = json.loads((folder / "manifest.json").read_text())
    there = {str(p.relative_to(folder)) for p in folder.rglob("*.js")}
    assert {entry["file"] for entry in listed} == there
    for entry in listed:
        content = (folder / entry["file"]).read_bytes()
        assert hashlib.sha256(content).hexdigest() == entry["sha256"]
        assert len(content) == entry["bytes"]
        assert (folder / entry["licence_file"]).read_text().strip()


def colours(scheme: str) -> dict[str, str]:
    text = (STATIC / "style.css").read_text()
    light, dark = text.split("@media (prefers-color-scheme:dark)", 1)
    found = dict(re.findall(r"--([\w-]+):(#[0-9a-f]{3,6})\b", light))
    if scheme == "dark":
        found |= dict(re.findall(r"--([\w-]+):(#[0-9a-f]{3,6})\b", dark.split("}}", 1)[0]))
    return found


def luminance(colour: str) -> float:
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(d * 2 for d in digits)
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, definition of contrast ratio."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_formula_gives_the_published_ends() -> None:
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#777777", "#fff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    ("inks", "least"),
    [
        (("ink",), 7.0),
        (("ink-2", "link", "act", "ok", "warn", "stop", "info", "mute"), 4.5),
        (("edge", "focus"), 3.0),
    ],
    ids=["ink", "text", "edges"],
)
def test_every_ink_stands_out_on_every_ground(
    scheme: str, inks: tuple[str, ...], least: float
) -> None:
    found = colours(scheme)
    for ink in inks:
        for ground in ("paper", "card", "sunk"):
            assert contrast(found[ink], found[ground]) >= least, (ink, ground)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_word_on_an_action_can_be_read(scheme: str) -> None:
    found = colours(scheme)
    assert contrast(found["on-act"], found["act"]) >= 4.5


def test_the_first_visit_is_light(app: Flask) -> None:
    build()
    browser = Browser(app)
    page = browser.text("/sign-in")
    fetched = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert len(fetched) == 5
    bodies = [page.encode(), *(browser.get(path).get_data() for path in fetched)]
    assert sum(len(gzip.compress(body)) for body in bodies) <= SCREEN_BYTES
