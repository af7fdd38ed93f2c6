"""A small world for tests of access: two regions, an event in each, one person an audience."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any

from flask import Flask
from sqlalchemy import Table

from roster.domain.people import system
from roster.store import models
from roster.store.base import db
from roster.store.registry import Store
from roster.store.transaction import write
from tests.support.browser import Browser
from tests.support.rows import row_for

assert models.__all__
TODAY = date(2027, 6, 16)
ZONE = "America/Los_Angeles"


@dataclass
class World:
    """Numbers of what there is; people by the name of their audience."""

    people: dict[str, int] = field(default_factory=dict)
    regions: dict[str, int] = field(default_factory=dict)
    sites: dict[str, int] = field(default_factory=dict)
    events: dict[str, int] = field(default_factory=dict)
    populations: dict[str, int] = field(default_factory=dict)
    guardian: int = 0

    def browser(self, app: Flask, who: str) -> Browser:
        """A browser in which that person is signed in (`anonymous`: nobody)."""
        return Browser(app, None if who == "anonymous" else self.people[who])


_ACTOR = system("test")


class _Rows:
    """Adds rows, filling in what a test does not care about."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.parents: dict[str, dict[str, Any]] = {}

    def add(self, table_name: str, /, **values: Any) -> int:
        table: Table = db.metadata.tables[table_name]
        row = row_for(table, self.parents) | values
        recorded = {"recorded_at", "recorded_seq", "recorded_by", "ended_at", "ended_seq"}
        row = {k: v for k, v in row.items() if k not in recorded | {"ended_why"}}
        if "id" not in table.c:
            self.store.unit.run(table.insert().values(**row))
            self.parents[table_name] = row
            return 0
        number = self.store.unit.insert(table, **row)
        self.parents[table_name] = row | {"id": number}
        return number


def build() -> World:
    """The world, in one transaction. Wed 16 Jun 2027 is today; the events are on Sat 19 Jun."""
    return write(_build, actor=_ACTOR)


def _build(store: Store) -> World:
    world, rows = World(), _Rows(store)
    store.unit.note("add", "world", 1)
    rows.add("programme", name="Lantern and Quill seed programme", time_zone=ZONE, language="en")
    rows.add("season", name="2027", from_on=date(2027, 4, 1), until_on=date(2027, 11, 1))
    for name in ("own", "other"):
        world.regions[name] = rows.add(
            "region", code=name, name=f"{name.title()} Region", time_zone=ZONE
        )
    _people(world, rows)
    rows.add("zone", label="15 - 20 Deg. F. / 3 - 6")
    rows.add("taxon", code="BASA3", name="Balsamorhiza sagittata")
    for name in ("own", "other"):
        _event(world, rows, name)
    return world


def _people(world: World, rows: _Rows) -> None:
    for who in (
        "volunteer", "crew", "lead", "other_crew", "other_lead", "regional", "other_regional",
        "coordinator", "ex_staff", "duty", "minor", "guardian_person",
    ):  # fmt: skip
        name = f"{who.replace('_', ' ').title()} Test"
        minor = who == "minor"
        number = rows.add(
            "person", name=name, name_key=name,
            born_on=date(2011, 5, 1) if minor else date(1980, 5, 1),
            of_age_on=date(2029, 5, 1) if minor else date(1998, 5, 1),
        )  # fmt: skip
        world.people[who] = number
        mail = f"{who}@example.org"
        rows.add("person_address", person=number, address=mail, key=mail, use="sign_in")
        rows.add("person_region", person=number, region=_home(world, who), from_on=TODAY)
    _grants(world, rows)
    world.guardian = rows.add(
        "guardian", person=world.people["minor"], name="Guardian Test",
        address="guardian@example.org", from_on=TODAY, until_on=None, second_sign=None,
        guardian_person=world.people["guardian_person"],
    )  # fmt: skip


def _home(world: World, who: str) -> int:
    return world.regions["other" if who.startswith("other") else "own"]


def _grants(world: World, rows: _Rows) -> None:
    past = TODAY - timedelta(days=300)
    for who, role, region, until in (
        ("coordinator", "coordinator", None, None),
        ("regional", "regional", "own", None),
        ("other_regional", "regional", "other", None),
        ("ex_staff", "coordinator", None, TODAY),
    ):
        rows.add(
            "staff_grant", person=world.people[who], role=role, from_on=past, until_on=until,
            region=world.regions[region] if region else None,
        )  # fmt: skip


def _event(world: World, rows: _Rows, name: str) -> None:
    prefix = "" if name == "own" else "other_"
    site = rows.add("site", name=f"Site {name}", time_zone=ZONE, hospital_minutes=30)
    region = world.regions[name]
    rows.add("site_region", site=site, region=region, from_on=TODAY, until_on=None)
    world.sites[name] = site
    rows.parents["site_region"]["region"] = region
    world.populations[name] = rows.add("population", site=site)
    day = date(2027, 6, 19)
    number = rows.add(
        "event", uid=f"{name}@example.org", title=f"Event {name}", site=site, region=region,
        stage="open", day=day, last_day=day, time_zone=ZONE, capacity=8,
        taken=2 if name == "own" else 1,
        local_start=datetime(2027, 6, 19, 7), local_end=datetime(2027, 6, 19, 12),  # noqa: DTZ001
        starts_at=datetime(2027, 6, 19, 14, tzinfo=UTC),
        ends_at=datetime(2027, 6, 19, 19, tzinfo=UTC),
        duty_person=world.people["duty"] if name == "own" else None, stand_in=None, n=1,
        closed_at=None, begun_at=None, series=None, plan=None, outcome_why=None,
        called_off_why=None, manager_told_on=None,
    )  # fmt: skip
    world.events[name] = number
    rows.add("event_population", event=number, population=world.populations[name], ordinal=1)
    crew = world.people[f"{prefix}crew"]
    rows.add(
        "spot", event=number, person=crew, role="crew_member", state="placed", line_no=None,
        offered_until=None, operation=None,
    )  # fmt: skip
    if name == "own":
        rows.add(
            "spot", event=number, person=world.people["minor"], role="crew_member", state="placed",
            line_no=None, offered_until=None, operation=None,
        )  # fmt: skip
    rows.add(
        "lead_ask", event=number, person=world.people[f"{prefix}lead"], role="lead", state="agreed"
    )
