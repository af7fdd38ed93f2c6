"""The demonstration season from an empty database to the morning that is looked at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.events import NothingTaken
from roster.domain.people import system
from roster.measure.demo import crew, days, ground, land, people
from roster.measure.demo.played import play
from roster.measure.demo.populous import take_on_more
from roster.measure.demo.scene import TODAY, Scene
from roster.services import event_changes, event_lists, events

FIRST_DAY = date(2027, 5, 20)
YESTERDAY = TODAY - timedelta(days=1)


@dataclass(frozen=True)
class Story:
    """What a demonstration tells: its day, sign-in addresses by part, event numbers by role."""

    today: date
    people: dict[str, str]
    events: dict[str, int]


def told(numbers: dict[str, int]) -> Story:
    """The story with these event numbers."""
    parts = {
        "coordinator": people.COORDINATOR,
        "regional": people.REGIONAL,
        "lead": people.LEAD,
        "data_collector": people.DATA_COLLECTOR,
        "volunteer": people.VOLUNTEER,
        "minor": people.MINOR,
    }
    wanted = ("ready_this_weekend", "one_short", "lead_lapses")
    return Story(
        TODAY,
        {part: one.address for part, one in parts.items()},
        {key: numbers[key] for key in wanted},
    )


def fill(scene: Scene, more: int = 0, progress: Callable[[int], None] | None = None) -> Story:
    """Fill an empty database with the whole season, and so many more people besides the forty.

    `progress` is told how many of those there are so far.
    """
    lay(scene)
    actor = scene.acting(people.COORDINATOR)
    for so_far in take_on_more(actor, scene.crew.forms, more):
        if progress:
            progress(so_far)
    spring(scene)
    june(scene)
    return told(scene.events)


def lay(scene: Scene) -> None:
    """Programme, papers, training, places and people, as they stand on 20 May."""
    scene.at(FIRST_DAY, 9)
    scene.ground = ground.lay_programme(scene.office)
    crew.first_coordinator(scene.office, scene.crew)
    actor = scene.acting(people.COORDINATOR)
    crew.put_forms_in_force(actor, scene.crew)
    crew.lay_course(actor)
    ground.lay_sites(actor, scene.ground, scene.crew.forms["agreement-north"])
    crew.take_on(actor, scene.crew, scene.ground)
    crew.sign_papers(actor, scene.crew)
    crew.record_training(actor)


def spring(scene: Scene) -> None:
    """The first events are planned and staffed; one lead is suspended."""
    planned = (days.FIRST, days.SECOND, days.SMOKE)
    scene.at(date(2027, 5, 21), 17)
    for outing in planned:
        days.plan(scene, outing)
    scene.at(date(2027, 5, 24), 18)
    for outing in planned:
        days.staff(scene, outing)
    crew.suspend(scene.acting(people.COORDINATOR), scene.crew)
    scene.at(date(2027, 6, 4), 18)
    days.mark_ready(scene, days.FIRST)
    play(scene, days.FIRST, absent=("Mae Tran",), why=None)


def june(scene: Scene) -> None:
    """The ten days before: smoke, seed already shed, site checks, a card that ends too early."""
    coming = (days.READY, days.ONE_SHORT, days.LAPSES, days.FULL)
    scene.at(date(2027, 6, 8), 9)
    for outing in (*coming, days.FIELD_DAY):
        days.plan(scene, outing)
    days.plan(scene, days.RIM, opened=False)
    scene.at(date(2027, 6, 9), 19)
    for outing in coming:
        days.staff(scene, outing)
    scene.at(date(2027, 6, 10), 6, 20)
    actor = scene.acting(people.REGIONAL)
    events.call_off(actor, scene.events["smoke"], "Smoke: AQI 172 at 06:00")
    scene.at(date(2027, 6, 11), 17)
    days.mark_ready(scene, days.SECOND)
    play(scene, days.SECOND, absent=(), why=NothingTaken.SHED)
    days.look(scene, "cinder", "POSE", (0.0, 0.05, 0.95))
    _yesterday(scene)
    scene.at(TODAY, 8, 10)


def _yesterday(scene: Scene) -> None:
    scene.at(YESTERDAY, 10)
    days.look(scene, "marrow", "BASA3", (0.45, 0.55, 0.0))
    days.look(scene, "hollow", "PEAC2", (0.2, 0.8, 0.0))
    days.look(scene, "hollow", "ACHY", (0.5, 0.5, 0.0))
    days.look(scene, "quill", "PSSPS", (1.0, 0.0, 0.0))
    scene.at(YESTERDAY, 16)
    actor = scene.acting(people.COORDINATOR)
    told = event_changes.EventChange(manager_told_on=YESTERDAY)
    event_changes.change_event(actor, scene.events["ready_this_weekend"], told)
    days.mark_ready(scene, days.READY)
    crew.correct_a_card(actor)


def found() -> Story | None:
    """The story of the demonstration in the database; None if a part of it is missing."""
    office = system("demo")
    numbers: dict[str, int] = {}
    for outing in (days.READY, days.ONE_SHORT, days.LAPSES):
        site = next(place.name for place in land.SITES if place.key == outing.site)
        wanted = event_lists.EventFilter(None, kind=outing.kind.value, search=site)
        rows = event_lists.events_page(office, wanted, 1).rows
        if not rows:
            return None
        numbers[outing.key] = min(row.id for row in rows)
    return told(numbers)
