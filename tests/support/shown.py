"""The demonstration season for tests and pictures, and the list of screens to look at."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from flask import Flask

from roster.measure.demo import season
from roster.measure.demo.scene import Scene
from roster.services import enter, upkeep
from roster.services.clock import SetClock
from tests.support.databases import opened


@dataclass(frozen=True)
class Shown:
    """A filled demonstration: its application, its scene, and the ways in by role."""

    app: Flask
    scene: Scene
    ways: dict[str, str]

    def path(self, screen: Screen) -> str:
        """The path of a screen with the numbers of this demonstration."""
        numbers = {
            "event": self.scene.events["ready_this_weekend"],
            "lapses": self.scene.events["lead_lapses"],
            "person": self.scene.crew.people["Hollis Nakamura"],
            "site": self.scene.ground.sites["marrow"],
            "population": self.scene.ground.populations["marrow", "BASA3"],
        }
        return screen.path.format(**numbers)


@dataclass(frozen=True)
class Screen:
    """One screen: its name, who looks (empty: nobody signed in), and where."""

    name: str
    role: str
    path: str


SCREENS = (
    Screen("sign-in", "", "/sign-in"),
    Screen("to-decide", "coordinator", "/decide"),
    Screen("events", "coordinator", "/events"),
    Screen("events-month", "coordinator", "/events?view=month&stage=all"),
    Screen("events-week", "coordinator", "/events?view=week&on=2027-06-02&stage=all"),
    Screen("event", "coordinator", "/events/{event}"),
    Screen("event-lead-lapses", "coordinator", "/events/{lapses}"),
    Screen("event-new", "coordinator", "/events/new"),
    Screen("people", "coordinator", "/people"),
    Screen("person", "coordinator", "/people/{person}?role=lead&on=2027-06-27"),
    Screen("free-days-of-person", "coordinator", "/people/{person}/free-days"),
    Screen("plants", "coordinator", "/plants"),
    Screen("population", "coordinator", "/plants/{site}/{population}"),
    Screen("places", "coordinator", "/places"),
    Screen("import", "coordinator", "/import"),
    Screen("my-days", "volunteer", "/days"),
    Screen("my-free-days", "volunteer", "/my-free-days"),
    Screen("help-wanted", "volunteer", "/help-wanted"),
    Screen("my-training", "volunteer", "/training"),
    Screen("my-calendar", "volunteer", "/calendar"),
    Screen("field-sheet", "lead", "/field/{event}"),
    Screen("crew-check", "lead", "/field/{event}/crew"),
    Screen("briefing", "lead", "/field/{event}/briefing"),
    Screen("head-count", "lead", "/field/{event}/count"),
    Screen("phone-list", "lead", "/field/{event}/phone-list"),
    Screen("collection", "lead", "/field/{event}/collection"),
    Screen("finish", "lead", "/field/{event}/finish"),
    Screen("roster", "lead", "/field/{event}/roster"),
)


@contextmanager
def shown(folder: Path) -> Iterator[Shown]:
    """A demonstration on a database of its own in that folder, with its context open."""
    clock = SetClock(datetime(2027, 5, 20, 16, tzinfo=UTC))
    with opened(f"sqlite:///{folder}/roster.sqlite", folder, clock) as app:
        upkeep.upgrade()
        scene = Scene(clock)
        season.fill(scene)
        yield Shown(app, scene, {way.role: way.path for way in enter.enter_codes()})
