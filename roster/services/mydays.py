"""My days: what a person is on, waits for or was asked, and what still stands in between."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.clearance import verdict
from roster.domain.geo import great_circle_km
from roster.domain.matching import place_of, travel_minutes
from roster.domain.people import Actor, Role
from roster.domain.readiness import ReadyWindow
from roster.domain.spots import SpotState
from roster.domain.training import Step
from roster.services import clock
from roster.services.plants import window_of
from roster.store.crew_rows import PersonRow
from roster.store.event_values import EventRow
from roster.store.registry import Store
from roster.store.spot_values import AskedRow, MyDayRow
from roster.store.transaction import read

BACK_DAYS, AHEAD_DAYS = 730, 400
PAST_SHOWN = 50
COMING = ("offered", "placed", "came")


@dataclass(frozen=True)
class Way:
    """How far an event is from a person's home: km as the crow flies, minutes worked out."""

    km: float
    minutes: int


@dataclass(frozen=True)
class NextDay:
    """The next event of a person with all that they need for it."""

    mine: MyDayRow
    event: EventRow
    lead: tuple[str, str | None] | None
    expect: tuple[str, ...]
    effort: str
    way: Way | None
    window: ReadyWindow | None
    briefing_to_hear: bool

    @property
    def chance(self) -> float | None:
        """The chance that seed is ready on the day, None where nothing can be said."""
        return None if self.window is None else self.window.chance_on(self.event.day)


@dataclass(frozen=True)
class Between:
    """What stands between a person and a role: the steps that can be begun now."""

    role: Role
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class WardDay:
    """A day of somebody for whom the person is a guardian."""

    name: str
    day: MyDayRow


@dataclass(frozen=True)
class MyDays:
    """A person's days, soonest first; past ones newest first."""

    name: str
    person: int
    now: datetime
    today: date
    asked: tuple[AskedRow, ...]
    next: NextDay | None
    later: tuple[MyDayRow, ...]
    past: tuple[MyDayRow, ...]
    wards: tuple[WardDay, ...]
    between: Between | None

    @property
    def marks(self) -> list[date]:
        """The days to come, for the season's ruler."""
        coming = [self.next.mine] if self.next else []
        return [row.day for row in (*coming, *self.later)]


def my_days(actor: Actor) -> MyDays:
    """The days of the signed-in person."""
    number = actor.person or 0

    def body(store: Store) -> MyDays:
        programme = store.programme.the_one()
        today = clock.today(programme.time_zone if programme else "UTC")
        me = store.spots.person(number)
        people = store.spots.same_person(number) or [number]
        rows = store.spots.days_of(
            people, today - timedelta(days=BACK_DAYS), today + timedelta(days=AHEAD_DAYS)
        )
        coming = [r for r in rows if _is_coming(r, today)]
        first = next((r for r in coming if r.state in COMING and r.stage != "called_off"), None)
        past = [r for r in rows if not _is_coming(r, today) and r.state in ("came", "absent")]
        return MyDays(
            name=actor.name,
            person=number,
            now=store.unit.at,
            today=today,
            asked=tuple(store.spots.asked_to_lead(people)),
            next=_next(store, me, first) if first else None,
            later=tuple(r for r in coming if r is not first),
            past=tuple(reversed(past))[:PAST_SHOWN],
            wards=_wards(store, people, today),
            between=_between(store, me, today) if me else None,
        )

    return read(body)


def _is_coming(row: MyDayRow, today: date) -> bool:
    return row.last_day >= today and row.stage != "done" and row.state not in (
        "withdrawn", "absent",
    )  # fmt: skip


def way_of(me: PersonRow | None, lat: float, lon: float, unpaved: int = 0) -> Way | None:
    """The way from a person's home to a place, None where the home place is not on record."""
    if me is None or me.x is None or me.y is None or me.z is None:
        return None
    km = great_circle_km(*place_of(me.x, me.y, me.z), lat, lon)
    return Way(km, travel_minutes(km, unpaved=bool(unpaved)))


def _next(store: Store, me: PersonRow | None, mine: MyDayRow) -> NextDay:
    event = store.events.row(mine.event)
    site = store.places.site(mine.site)
    newest = store.briefings.newest(mine.event) if mine.state == SpotState.CAME else None
    heard = newest is not None and mine.spot in store.briefings.heard_by(newest.id)
    populations = store.places.populations_of_event(mine.event)
    windows = [w for p in populations if (w := window_of(p)) is not None]
    return NextDay(
        mine=mine,
        event=event,
        lead=store.invitations.lead_of(mine.event),
        expect=_expect(store, mine.site),
        effort=site.effort,
        way=way_of(me, mine.lat, mine.lon, mine.unpaved),
        window=windows[0] if windows else None,
        briefing_to_hear=newest is not None and not heard,
    )


def _expect(store: Store, site: int) -> tuple[str, ...]:
    """The hazards of a place in its own words."""
    hazards = store.places.hazards(site)
    return tuple(note.rstrip(". ") or kind.replace("_", " ") for kind, note in hazards)


def _wards(store: Store, people: list[int], today: date) -> tuple[WardDay, ...]:
    names = store.spots.wards_of(people, today)
    if not names:
        return ()
    rows = store.spots.days_of(list(names), today, today + timedelta(days=AHEAD_DAYS))
    live = [r for r in rows if r.state in (*COMING, "waiting") and r.stage != "called_off"]
    return tuple(WardDay(names[r.person], r) for r in live)


def _between(store: Store, me: PersonRow, today: date) -> Between | None:
    """The first role that the person is not cleared for yet, crew member before data collector."""
    facts = store.facts.of_many([me.root]).get(me.root)
    if facts is None:
        return None
    for role in (Role.CREW_MEMBER, Role.DATA_COLLECTOR):
        found = verdict(facts, role, today)
        if not found.yes:
            return Between(role, found.next_steps) if facts.rules.tracks_to(role) else None
    return None
