"""A big programme, the same each time: people with homes, papers and finished steps.

Made by the use cases of import and of stacks of papers; everything in it is invented.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from random import Random

from roster.domain.import_columns import ImportKind
from roster.domain.paper_forms import PaperKind
from roster.domain.people import Grant, Role, StaffRole, system
from roster.domain.training import StepKind
from roster.services import demo, exchange, papers, people, places, plants, training
from roster.services.paper_stack import MOST, record_stack
from roster.services.places import NewPermission, NewSite
from roster.services.plants import NewPopulation, NewTaxon

ACTOR = system("cli")
ZONE = "America/Los_Angeles"
TODAY = date(2027, 6, 16)
NOW = datetime(2027, 6, 16, 15, 10, tzinfo=UTC)
SEED = 60
TOWNS = 60
SPREAD_DEGREES = 0.15
LONG_AGO = date(2020, 1, 1)
AID = timedelta(days=730)
"""How long a first-aid card is good for."""
STEPS_OF = 25_000
"""The steps of so many people make one sheet: fewer rows than a sheet may have."""

# Code, kind, validity. Papers are signed, not reported.
STEPS = (
    ("release", StepKind.PAPERS, None),
    ("ethics", StepKind.LESSON, "P36M"),
    ("safety", StepKind.LESSON, "P12M"),
    ("first-day", StepKind.FIELD_DAY, "P24M"),
    ("records", StepKind.LESSON, "P24M"),
    ("lead-day", StepKind.FIELD_DAY, "P24M"),
    ("aid", StepKind.FIRST_AID, None),
)
CREW = ("release", "ethics", "safety", "first-day")
TRACKS = (
    ("crew", Role.CREW_MEMBER, CREW, 16),
    ("records", Role.DATA_COLLECTOR, (*CREW, "records"), 18),
    ("leading", Role.LEAD, (*CREW, "records", "lead-day", "aid"), 18),
    ("first-aid", Role.FIRST_AIDER, ("aid",), 18),
)
LEVELS = {"none": 60, "crew": 31, "records": 5, "lead": 4}
"""About 17 in 100 are cleared for crew work on a day, and 2 to lead."""
AGAIN = ("ethics", "safety", "first-day")
"""Steps that people have gone through twice, so that spans join or leave gaps."""


@dataclass(frozen=True)
class Newcomer:
    """One invented person: where they live and what they have finished, with days."""

    number: int
    born_on: date
    home: tuple[float, float]
    signed_on: date | None
    finished: tuple[tuple[str, date], ...]

    @property
    def address(self) -> str:
        """The address that the sheets name them by."""
        return f"p{self.number:06}@example.org"


@dataclass(frozen=True)
class Ground:
    """What a crowd goes out to, by numbers; sites, their populations and regions go together."""

    season: int
    coordinator: int
    release: int
    sites: tuple[int, ...]
    populations: tuple[int, ...]
    regions: tuple[int, ...]


def towns() -> list[tuple[float, float]]:
    """Sixty places in five by six degrees."""
    dice = Random(SEED)  # noqa: S311 - invented places, the same each time
    return [(44 + 5 * dice.random(), -121 + 6 * dice.random()) for _ in range(TOWNS)]


def newcomers(count: int) -> Iterator[Newcomer]:
    """So many people round the towns; the first are the same whatever the count is."""
    dice = Random(SEED + 1)  # noqa: S311 - invented people, the same each time
    homes = towns()
    levels, weights = list(LEVELS), list(LEVELS.values())
    for number in range(1, count + 1):
        lat, lon = dice.choice(homes)
        home = (
            round(lat + dice.gauss(0, SPREAD_DEGREES), 5),
            round(lon + dice.gauss(0, SPREAD_DEGREES), 5),
        )
        level = dice.choices(levels, weights)[0]
        born = date(1950, 1, 1) + timedelta(days=dice.randrange(20_000))
        signed = None if level == "none" else TODAY - timedelta(days=dice.randrange(500))
        yield Newcomer(number, born, home, signed, tuple(_finished(dice, level)))


def _finished(dice: Random, level: str) -> Iterator[tuple[str, date]]:
    track = {"none": TRACKS[0], "crew": TRACKS[0], "records": TRACKS[1], "lead": TRACKS[2]}[level]
    for code in track[2]:
        if code == "release" or (level == "none" and dice.random() < 0.5):
            continue
        newest = TODAY - timedelta(days=dice.randrange(1, 600))
        yield code, newest
        if code in AGAIN and dice.random() < 0.6:
            yield code, newest - timedelta(days=dice.randrange(200, 700))
    if level == "crew" and dice.random() < 0.1:
        yield "aid", TODAY - timedelta(days=dice.randrange(1, 600))


def lay() -> Ground:
    """The programme of an empty database: training, coordinator, sites with what grows there."""
    places.add_programme(ACTOR, "Programme of a crowd", ZONE)
    season = places.add_season(ACTOR, "2027", date(2027, 1, 1), date(2027, 12, 31))
    regions = [places.add_region(ACTOR, f"R{i}", f"Region {i}", ZONE) for i in range(6)]
    coordinator = _coordinator()
    release = _course()
    taxon = plants.add_taxon(ACTOR, NewTaxon("BASA3", "Balsamorhiza sagittata", 10))
    zone = places.add_zone(ACTOR, "15 - 20 Deg. F. / 3 - 6", source="a crowd")
    sites, populations, of_regions = [], [], []
    for i, (lat, lon) in enumerate(towns()):
        region = regions[i % len(regions)]
        new = NewSite(f"Butte {i:02}", region, lat, lon, ZONE, "WA", f"Car park {i:02}")
        site = places.add_site(ACTOR, new)
        sites.append(site)
        populations.append(plants.add_population(ACTOR, NewPopulation(site, taxon, zone)))
        year = date(2027, 1, 1), date(2027, 12, 31)
        places.add_permission(ACTOR, NewPermission(site, "County parks", *year, {taxon: None}))
        of_regions.append(region)
    numbers = tuple(sites), tuple(populations), tuple(of_regions)
    return Ground(season, coordinator, release, *numbers)


def _coordinator() -> int:
    new = people.NewPerson("Cora Coordinator", "cora@example.org", born_on=date(1980, 1, 1))
    number = people.add_person(ACTOR, new)
    people.grant_role(ACTOR, number, Grant(StaffRole.COORDINATOR, None, LONG_AGO, None))
    return number


def _course() -> int:
    form = papers.NewForm(
        "release", PaperKind.RELEASE, "Release", "Invented wording.", "P12M", from_on=LONG_AGO
    )
    release = papers.put_form_in_force(ACTOR, form)
    for code, kind, validity in STEPS:
        paper = code if kind is StepKind.PAPERS else None
        rules = training.StepRules(validity)
        step = training.NewStep(code, code.capitalize(), kind, rules, paper=paper, from_on=LONG_AGO)
        training.define_step(ACTOR, step)
    for code, role, steps, youngest in TRACKS:
        track = training.NewTrack(code, code, role, youngest, steps, from_on=LONG_AGO)
        training.define_track(ACTOR, track)
    return release


def take_on(ground: Ground, some: Sequence[Newcomer]) -> None:
    """Bring people on record: by spreadsheets and, for papers, by stacks."""
    batch = exchange.take_in(ACTOR, ImportKind.PEOPLE, "people.csv", people_sheet(some))
    numbers = demo.numbers_of_batch(batch)
    signed = {
        number: one.signed_on
        for number, one in zip(numbers, some, strict=True)
        if one.signed_on is not None
    }
    in_order = sorted(signed.items())
    for start in range(0, len(in_order), MOST):
        record_stack(ACTOR, ground.release, dict(in_order[start : start + MOST]))
    for start in range(0, len(some), STEPS_OF):
        sheet = steps_sheet(some[start : start + STEPS_OF])
        exchange.take_in(ACTOR, ImportKind.COMPLETIONS, f"steps-{start}.csv", sheet)


def people_sheet(some: Iterable[Newcomer]) -> bytes:
    """Who they are, one a row."""
    headings = ("Name", "E-mail", "Born", "ZIP", "Phone", "Latitude", "Longitude", "Region")
    rows = (
        (
            f"Person {one.number:06}", one.address, one.born_on.isoformat(),
            f"{99000 + one.number % 900}", f"509 555 {one.number % 10000:04}",
            str(one.home[0]), str(one.home[1]), f"R{one.number % 6}",
        )
        for one in some
    )  # fmt: skip
    return _sheet(headings, rows)


def steps_sheet(some: Iterable[Newcomer]) -> bytes:
    """What they have finished, one step a row."""
    rows = (
        (one.address, code, day.isoformat(), (day + AID).isoformat() if code == "aid" else "")
        for one in some
        for code, day in one.finished
    )
    return _sheet(("E-mail", "Step", "Done on", "Valid until"), rows)


def _sheet(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(headings)
    writer.writerows(rows)
    return text.getvalue().encode()
