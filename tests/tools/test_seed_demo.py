"""The demonstration season: what it shows, that it is the same each time, and whom it refuses."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from roster.domain.errors import RuleBroken
from roster.domain.events import EventKind, Stage
from roster.domain.people import Role, system
from roster.domain.reasons import Level
from roster.measure.demo import days, people, season
from roster.measure.demo.scene import Scene
from roster.services import (
    clearance,
    crewcheck,
    demo,
    event_lists,
    places,
    plants,
    upkeep,
    verification,
)
from roster.services import people as registry
from roster.services.clock import SetClock
from roster.store.transaction import read
from tests.support.databases import Sqlite

ROOT = Path(__file__).resolve().parents[2]
OFFICE = system("test")


@pytest.fixture(scope="module")
def scene(sqlite_template: Sqlite, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Scene]:
    """A filled demonstration, on the morning that is looked at."""
    clock = SetClock(datetime(2027, 5, 20, 16, tzinfo=UTC))
    with sqlite_template.fresh(tmp_path_factory.mktemp("demo"), clock):
        made = Scene(clock)
        season.fill(made)
        yield made


def findings(scene: Scene, key: str, level: Level) -> list[str]:
    check = crewcheck.check(OFFICE, scene.events[key])
    return [f.reason.code for f in check.findings if f.level is level]


def stage(scene: Scene, key: str) -> Stage:
    return read(lambda store: store.events.get(scene.events[key]).stage)


def test_forty_people_one_of_them_a_minor(scene: Scene):
    minors = [p for p in people.PEOPLE if p.born_on > date(2009, 6, 16)]
    assert len(scene.crew.people) == len(people.PEOPLE) == 40
    assert minors == [people.MINOR]
    assert all(p.address.endswith("@example.org") and p.address.isascii() for p in people.PEOPLE)


def test_the_ready_event_may_go_out_this_weekend_with_ripe_seed(scene: Scene):
    assert stage(scene, "ready_this_weekend") is Stage.READY
    assert findings(scene, "ready_this_weekend", Level.STOP) == []
    population = scene.ground.populations["marrow", "BASA3"]
    newest = read(lambda store: store.programme.seasons()[0].id)
    row = read(lambda store: store.places.population(population, newest))
    window = plants.window_of(row)
    assert window is not None
    assert window.chance_on(days.SATURDAY) > 0.75


def test_one_event_is_one_person_short(scene: Scene):
    assert findings(scene, "one_short", Level.STOP) == ["crew_too_small"]
    check = crewcheck.check(OFFICE, scene.events["one_short"])
    (reason,) = [f.reason for f in check.findings if f.level is Level.STOP]
    assert reason.facts["short"] == 1


def test_the_clearance_of_one_lead_ends_the_day_before_the_event(scene: Scene):
    assert findings(scene, "lead_lapses", Level.STOP) == ["lead_not_cleared"]
    lead = scene.number(people.LAPSING_LEAD)
    last, first_not = date(2027, 6, 26), date(2027, 6, 27)
    assert clearance.cleared(OFFICE, lead, Role.LEAD, last).verdict.until == last
    assert not clearance.cleared(OFFICE, lead, Role.LEAD, first_not).verdict.yes


def test_one_paper_has_lapsed(scene: Scene):
    one = scene.number(people.LAPSED_PAPER)
    verdict = clearance.cleared(OFFICE, one, Role.CREW_MEMBER, days.SATURDAY).verdict
    assert [r.code for r in verdict.reasons] == ["paper_lapsed"]


def test_events_stand_in_two_time_zones_and_in_every_stage_but_under_way(scene: Scene):
    everything = event_lists.EventFilter(None)
    rows = event_lists.events_page(OFFICE, everything, 1).rows
    assert {row.time_zone for row in rows} == {"America/Los_Angeles", "America/Boise"}
    assert {row.stage for row in rows} == {s.value for s in Stage} - {Stage.UNDER_WAY.value}
    assert {row.kind for row in rows} >= {EventKind.COLLECTING.value, EventKind.SITE_CHECK.value}


def test_everything_agrees_after_seeding(scene: Scene):
    assert upkeep.verify(verification.CHECKS).holds


def test_the_story_is_found_again(scene: Scene):
    assert season.found() == season.told(scene.events)
    assert demo.stands()


def test_somebody_real_keeps_a_demonstration_from_being_taken_out(scene: Scene):
    stranger = registry.NewPerson("Somebody Real", "somebody@example.net", born_on=date(1980, 1, 1))
    registry.add_person(OFFICE, stranger)
    with pytest.raises(RuleBroken) as caught:
        demo.take_out()
    assert [r.code for r in caught.value.reasons] == ["demo_met_strangers"]


def test_a_programme_of_its_own_is_refused(app):
    places.add_programme(OFFICE, "A programme", "America/Los_Angeles")
    with pytest.raises(RuleBroken) as caught:
        demo.stands()
    assert [r.code for r in caught.value.reasons] == ["database_has_real_people"]


def test_an_empty_database_has_no_demonstration_and_one_is_taken_out_whole(app, clock):
    assert not demo.stands()
    places.add_programme(OFFICE, "A show", "America/Los_Angeles", demo=True)
    assert demo.stands()
    demo.take_out()
    assert not demo.stands()
    places.add_programme(OFFICE, "Another show", "America/Los_Angeles", demo=True)
    assert upkeep.verify(verification.CHECKS).holds


@pytest.mark.slow
def test_the_command_tells_the_same_twice_and_refuses_production(tmp_path):
    settings = {
        **os.environ,
        "ROSTER_DATABASE_URL": f"sqlite:///{tmp_path / 'demo.sqlite'}",
        "ROSTER_SECRET_KEY": "thirty-two bytes or more, for tests only",
    }
    settings.pop("ROSTER_TODAY", None)

    def run(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "seed_demo.py", *words],
            cwd=ROOT,
            env=settings | more,
            capture_output=True,
            text=True,
            check=False,
        )

    first, again = run("--json"), run("--json")
    assert (first.returncode, first.stderr) == (0, "")
    assert again.stdout == first.stdout
    anew = run("--json", "--force")
    assert json.loads(anew.stdout)["people"] == json.loads(first.stdout)["people"]
    told = json.loads(first.stdout)
    assert told["today"] == "2027-06-16"
    assert set(told["people"]) == {
        "coordinator", "regional", "lead", "data_collector", "volunteer", "minor"
    }  # fmt: skip
    assert set(told["events"]) == {"ready_this_weekend", "one_short", "lead_lapses"}
    few = run("--people", "39")
    assert few.returncode == 2
    assert "'39' is not a whole number from 40" in few.stderr
    refused = run(ROSTER_MODE="production")
    assert refused.returncode == 2
    assert "ROSTER_" in refused.stderr
    assert "Traceback" not in refused.stderr
