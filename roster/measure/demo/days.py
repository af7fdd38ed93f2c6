"""The events of the demonstration, and how one is planned and staffed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from roster.domain.events import DateState, EventKind
from roster.domain.people import Role
from roster.measure.demo import people
from roster.measure.demo.people import Somebody
from roster.measure.demo.scene import Scene
from roster.services import events, leads, plants, spots

SATURDAY = date(2027, 6, 19)
NAMED = {one.name: one for one in people.PEOPLE}


@dataclass(frozen=True)
class Outing:
    """One event as it is planned: hours local, people by name."""

    key: str
    site: str
    species: tuple[str, ...]
    day: date
    hours: tuple[time, time]
    capacity: int
    lead: str = ""
    collector: str = ""
    crew: tuple[str, ...] = ()
    kind: EventKind = EventKind.COLLECTING
    last_day: date | None = None
    vehicles: int = 2


_EARLY = (time(6, 30), time(11, 30))
_SEVEN = (time(7), time(12, 30))
FIRST = Outing(
    "microseris", "saddle", ("MINU",), date(2027, 6, 5), _EARLY, 8, "Priya Raman", "Arlo Finch",
    ("Vic Hanley", "Cal Thibodeaux", "Theo Lund", "Mae Tran"),
)  # fmt: skip
SECOND = Outing(
    "bluegrass", "cinder", ("POSE",), date(2027, 6, 12), _SEVEN, 8, people.LEAD.name, "Omar Haddad",
    (people.VOLUNTEER.name, "Pavel Dvorak", "Rosa Iniguez"),
)  # fmt: skip
SMOKE = Outing(
    "smoke", "tinder", ("ERUM",), date(2027, 6, 10), _SEVEN, 4, "Sam Okonkwo",
    crew=("Dara Whitlow",), kind=EventKind.SITE_CHECK,
)  # fmt: skip
READY = Outing(
    "ready_this_weekend", "marrow", ("BASA3",), SATURDAY, _SEVEN, 8, people.LEAD.name,
    people.DATA_COLLECTOR.name,
    (people.VOLUNTEER.name, people.GUARDIAN.name, people.MINOR.name, "Yolanda Pruitt"),
)  # fmt: skip
ONE_SHORT = Outing(
    "one_short", "hollow", ("PEAC2", "ACHY"), SATURDAY, _EARLY, 6, people.DUNES_LEAD.name,
    people.DUNES_DATA.name,
)  # fmt: skip
LAPSES = Outing(
    "lead_lapses", "quill", ("PSSPS",), date(2027, 6, 27), _EARLY, 7, people.LAPSING_LEAD.name,
    "Arlo Finch", ("Mae Tran", "Pavel Dvorak", "Cal Thibodeaux"),
)  # fmt: skip
FULL = Outing(
    "full", "saddle", ("LOTR2",), date(2027, 7, 3), _EARLY, 5, "Wren Halvorsen", "Omar Haddad",
    ("Vic Hanley", "Theo Lund", people.VOLUNTEER.name, "Rosa Iniguez"),
)  # fmt: skip
RIM = Outing("rim", "tinder", ("ERUM",), date(2027, 7, 5), _SEVEN, 6, last_day=date(2027, 7, 14))
FIELD_DAY = Outing(
    "field_day", "marrow", (), date(2027, 6, 27), (time(9), time(13)), 10, kind=EventKind.TRAINING
)


def plan(scene: Scene, outing: Outing, *, opened: bool = True) -> int:
    """Create an event and, unless it stays a draft, open it."""
    actor = scene.acting(coordinator_of(outing))
    start, end = outing.hours
    expected = outing.last_day is not None
    new = events.NewEvent(
        outing.kind,
        scene.ground.sites[outing.site],
        datetime.combine(outing.day, start),
        datetime.combine(outing.last_day or outing.day, end),
        outing.capacity,
        tuple(scene.ground.populations[outing.site, code] for code in outing.species),
        DateState.EXPECTED if expected else DateState.FIXED,
        vehicles=outing.vehicles,
        duty_person=scene.number(people.DUTY),
        stand_in=scene.number(people.STAND_IN),
    )
    number = events.create_event(actor, new)
    scene.events[outing.key] = number
    if opened:
        events.open_event(actor, number)
    return number


def staff(scene: Scene, outing: Outing) -> None:
    """Ask lead and data collector, who agree; the crew signs up, each for themselves."""
    number = scene.events[outing.key]
    actor = scene.acting(coordinator_of(outing))
    for name, role in ((outing.lead, Role.LEAD), (outing.collector, Role.DATA_COLLECTOR)):
        if name:
            one = NAMED[name]
            leads.ask(actor, number, scene.number(one), role)
            leads.agree(scene.acting(one), number, role)
    for name in outing.crew:
        one = NAMED[name]
        spots.sign_up(scene.acting(one), number, scene.number(one))


def mark_ready(scene: Scene, outing: Outing) -> None:
    """The coordinator marks it ready, everything being clear."""
    events.mark_ready(scene.acting(coordinator_of(outing)), scene.events[outing.key])


def look(scene: Scene, site: str, code: str, shares: tuple[float, float, float]) -> None:
    """A site check of today: shares immature, ripe, shed."""
    immature, ripe, shed = shares
    seen = plants.SiteCheck(
        scene.ground.populations[site, code],
        scene.clock.at.date(),
        share_immature=immature,
        share_ripe=ripe,
        share_shed=shed,
        plants_at_dispersal=400,
    )
    plants.record_site_check(scene.acting(people.COORDINATOR), seen)


def coordinator_of(outing: Outing) -> Somebody:
    """Who staffs events at that site."""
    return people.REGIONAL if outing.site in ("hollow", "tinder") else people.COORDINATOR
