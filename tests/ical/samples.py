"""Sample entries, and one plain reading of a calendar per parser to compare."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import vobject

from roster.ical.entries import Entry, Hours, Status, Window

local = datetime.fromisoformat
MADE = datetime(2026, 1, 5, 9, 0, tzinfo=UTC)
STAMP = datetime(2026, 2, 1, 12, 30, tzinfo=UTC)
MORNING = Hours(local("2026-06-20T07:00"), local("2026-06-20T12:30"), "America/Boise")
BALSAMROOT = Entry(
    uid="7f0c2a4e-8f0b-4c39-9d52-3f3b3b0a5b11",
    sequence=2,
    stamp=STAMP,
    created=MADE,
    when=MORNING,
    status=Status.CONFIRMED,
    summary="Arrowleaf balsamroot at Marrow Butte",
    description="Bring 2 litres of water; gloves, hat.\nSteep slope, ticks.",
    location="Upper car park, Marrow Butte",
    url="https://muster.example.org/events/418",
    reminders=(timedelta(hours=24),),
)
EXPECTED = replace(
    BALSAMROOT,
    uid="0b3d7a55-8d5a-4f0f-b0ad-9bd3d1f2a402",
    when=Window(date(2026, 7, 1), date(2026, 7, 10)),
    status=Status.TENTATIVE,
)
CALLED_OFF = replace(
    BALSAMROOT, uid="52a6d1f0-5a44-4f4c-8a2e-8f1f4dd02c3c", status=Status.CANCELLED, sequence=3
)

HOSTILE = (
    "a; b, c\\ d\\n e \\, f",
    "line one\r\nline two\rBEGIN:VEVENT\nEND:VCALENDAR",
    "quotes \"double\" and 'single' ^ caret ^n",
    "emoji 🌾🌱 family 👩‍👩‍👧 flag 🇺🇸",
    "right to left ‮ mark ‏ עברית",
    "NUL \x00 bell \x07 escape \x1b delete \x7f next line \x85",
    "é" * 900,
    "x" * 5000,
    ":;=,:;=," * 40,
    "tab\there",
    "ends with backslash \\",
    "\\" * 160,
)

NODE = shutil.which("node")
NODE_MODULES = Path(__file__).parent.parent / "node_modules"


def in_utc(value: Any) -> str:
    """A start or end as one text: a day, or an instant in UTC."""
    if isinstance(value, datetime):
        return f"{value.astimezone(UTC):%Y-%m-%dT%H:%MZ}"
    return str(value)


def by_icalendar(content: bytes) -> list[dict[str, str]]:
    """Events as Python icalendar reads them."""
    events = icalendar.Calendar.from_ical(content).walk("VEVENT")
    return [
        {
            "uid": str(e["UID"]),
            "start": in_utc(e["DTSTART"].dt),
            "end": in_utc(e["DTEND"].dt),
            "summary": str(e["SUMMARY"]),
            "description": str(e.get("DESCRIPTION", "")),
            "location": str(e.get("LOCATION", "")),
        }
        for e in events
    ]


def by_vobject(content: bytes) -> list[dict[str, str]]:
    """Events as vobject reads them."""
    calendar = vobject.readOne(content.decode())
    return [
        {
            "uid": e.uid.value,
            "start": in_utc(e.dtstart.value),
            "end": in_utc(e.dtend.value),
            "summary": e.summary.value,
            "description": e.description.value if hasattr(e, "description") else "",
            "location": e.location.value if hasattr(e, "location") else "",
        }
        for e in calendar.contents.get("vevent", [])
    ]


def by_node(content: bytes, parser: str) -> list[dict[str, str]]:
    """Events as ical.js or node-ical reads them (through parse.js)."""
    assert NODE
    script = Path(__file__).parent / "parse.js"
    ran = subprocess.run(
        [NODE, str(script), parser], input=content, capture_output=True, check=True, timeout=60
    )
    read: list[dict[str, str]] = json.loads(ran.stdout)
    return read
