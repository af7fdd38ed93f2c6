"""Where help is needed: events that take people, and what a person may do about each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import cos, radians

from roster.domain.clearance import PersonFacts, verdict
from roster.domain.errors import RuleBroken
from roster.domain.events import EventKind, Stage
from roster.domain.matching import place_of
from roster.domain.people import Actor, Role
from roster.domain.person_facts import is_minor
from roster.domain.reasons import Reason
from roster.domain.spots import Openings, SpotState, Wish, kept_roles, sign_up
from roster.services import clock
from roster.services.crew_facts import guardian_says_yes
from roster.services.mydays import Way, way_of
from roster.store.crew_rows import PersonRow
from roster.store.registry import Store
from roster.store.spot_lists import OpenFilter
from roster.store.spot_values import MyDayRow, OpenRow
from roster.store.transaction import read

PAGE_ROWS = 20
AHEAD_DAYS = 120
KM_A_DEGREE = 111.2
TAKES_PART = (SpotState.ASKED, SpotState.OFFERED, SpotState.PLACED, SpotState.WAITING)


_Verdict = tuple[bool, tuple[Reason, ...]]
_Verdicts = dict[tuple[Role, date], _Verdict]
_Tried = tuple[SpotState | None, tuple[Reason, ...]]


@dataclass(frozen=True)
class HelpFilter:
    """What the person wants to see: how far at most, which kind, only what they may sign up for."""

    km: int | None = None
    kind: str | None = None
    only: bool = False
    weekend: bool = False


@dataclass(frozen=True)
class Needed:
    """An event that takes people: what would happen on signing up in `role`, or why not.

    `becomes` is placed, waiting or asked; None with `reasons`, or with `mine` for who is on it.
    """

    row: OpenRow
    way: Way | None
    role: Role
    becomes: SpotState | None
    reasons: tuple[Reason, ...]
    mine: MyDayRow | None

    @property
    def left(self) -> int:
        """How many spots are left."""
        return max(self.row.capacity - self.row.taken, 0)


@dataclass(frozen=True)
class HelpPage:
    """One page of events that need people, soonest first."""

    rows: tuple[Needed, ...]
    total: int
    number: int
    has_home: bool
    today: date

    @property
    def has_more(self) -> bool:
        """Whether another page follows."""
        return self.number * PAGE_ROWS < self.total

    @property
    def open_to_me(self) -> int:
        """For how many of this page the person may sign up today."""
        return sum(n.becomes is not None for n in self.rows)


@dataclass(frozen=True)
class _Me:
    row: PersonRow | None
    facts: PersonFacts | None
    days: Mapping[int, MyDayRow]
    spans: Mapping[Role, list[tuple[date, date | None]]]

    def is_cleared(self, role: Role, row: OpenRow) -> bool:
        """Whether the interval table clears an adult for the day of an event."""
        if self.facts is None or is_minor(self.facts, row.day, row.majority_age):
            return False
        spans = self.spans.get(role, [])
        return any(first <= row.day and (end is None or row.day < end) for first, end in spans)


def help_page(actor: Actor, wanted: HelpFilter, number: int) -> HelpPage:
    """One page of the events that take people, for the signed-in person."""

    def body(store: Store) -> HelpPage:
        programme = store.programme.the_one()
        today = clock.today(programme.time_zone if programme else "UTC")
        me = _me(store, actor.person or 0, today)
        asked = OpenFilter(
            today, today + timedelta(days=AHEAD_DAYS), wanted.kind, _box(me.row, wanted.km)
        )
        offset = (number - 1) * PAGE_ROWS
        rows, total = store.spots.open_events(asked, offset=offset, limit=PAGE_ROWS)
        found = _needed(store, me, rows)
        if wanted.km:
            found = [n for n in found if n.way is None or n.way.km <= wanted.km]
        if wanted.weekend:
            found = [n for n in found if n.row.day.weekday() >= 5]
        if wanted.only:
            found = [n for n in found if n.becomes is not None]
        has_home = me.row is not None and me.row.x is not None
        return HelpPage(tuple(found), total, number, has_home, today)

    return read(body)


def _me(store: Store, person: int, today: date) -> _Me:
    row = store.spots.person(person)
    people = store.spots.same_person(person) or [person]
    days = store.spots.days_of(people, today, today + timedelta(days=AHEAD_DAYS))
    facts = store.facts.of_many([row.root]).get(row.root) if row else None
    spans = store.spots.spans_of(row.root) if row else {}
    return _Me(row, facts, {d.event: d for d in days}, spans)


def _box(me: PersonRow | None, km: int | None) -> tuple[float, float, float, float] | None:
    """Least and most latitude and longitude around the home; the exact distance is asked later."""
    if km is None or me is None or me.x is None or me.y is None or me.z is None:
        return None
    lat, lon = place_of(me.x, me.y, me.z)
    north = km / KM_A_DEGREE
    east = km / (KM_A_DEGREE * max(cos(radians(lat)), 0.05))
    return lat - north, lat + north, lon - east, lon + east


def _needed(store: Store, me: _Me, rows: list[OpenRow]) -> list[Needed]:
    ceilings = _ceilings(store, rows)
    verdicts: _Verdicts = {}
    found = []
    for row in rows:
        mine = me.days.get(row.event)
        on_it = mine if mine and _is_on(mine) else None
        role = _role(me, row, verdicts)
        way = way_of(me.row, row.lat, row.lon, row.unpaved)
        tried: _Tried = (None, ())
        if on_it is None:
            tried = _try(me, row, role, ceilings.get(row.event), verdicts)
        found.append(Needed(row, way, role, *tried, on_it))
    return found


def _is_on(mine: MyDayRow) -> bool:
    """Whether the person is on it; who asked before the day was fixed must say so again."""
    state = SpotState(mine.state)
    return state in TAKES_PART and not (state is SpotState.ASKED and mine.date_state == "fixed")


def _ceilings(store: Store, rows: list[OpenRow]) -> dict[int, int]:
    """The fewest people that a permission in force allows, by event."""
    permissions = store.places.permissions({r.site for r in rows}) if rows else []
    found: dict[int, int] = {}
    for row in rows:
        if not EventKind(row.kind).in_the_field:
            continue
        most = [
            p.people
            for p in permissions
            if p.site == row.site and p.people is not None and p.holds_on(row.day, row.last_day)
        ]
        if most:
            found[row.event] = min(most)
    return found


def _verdict(me: _Me, role: Role, row: OpenRow, known: _Verdicts) -> _Verdict:
    """By the interval table as a sign-up does; the facts say why not, and judge minors."""
    day = row.day
    if (role, day) not in known:
        known[role, day] = (True, ()) if me.is_cleared(role, row) else _by_facts(me, role, day)
    return known[role, day]


def _by_facts(me: _Me, role: Role, day: date) -> _Verdict:
    if me.facts is None:
        return False, ()
    found = verdict(me.facts, role, day)
    return found.yes, found.reasons


def _role(me: _Me, row: OpenRow, known: _Verdicts) -> Role:
    """Data collector where one is looked for and the person is cleared for it."""
    looked_for = row.kind == EventKind.COLLECTING and not row.has_collector
    if looked_for and _verdict(me, Role.DATA_COLLECTOR, row, known)[0]:
        return Role.DATA_COLLECTOR
    return Role.CREW_MEMBER


def _try(me: _Me, row: OpenRow, role: Role, ceiling: int | None, known: _Verdicts) -> _Tried:
    """What signing up would lead to, by the very rule that decides on it."""
    if me.row is None:
        return None, ()
    kind = EventKind(row.kind)
    cleared, reasons = _verdict(me, role, row, known)
    minor = me.facts is None or is_minor(me.facts, row.day, row.majority_age)
    seated = [Role.LEAD] * bool(row.has_lead) + [Role.DATA_COLLECTOR] * bool(row.has_collector)
    openings = Openings(
        row.event, Stage(row.stage), row.date_state == "fixed", row.starts_at, row.ends_at,
        row.capacity, row.taken, kept_roles(kind, seated), ceiling,
    )  # fmt: skip
    mine = me.days.get(row.event)
    wish = Wish(
        me.row.id, me.row.name, role, cleared or not kind.in_the_field, reasons, minor,
        state=SpotState(mine.state) if mine else None,
        others=tuple(
            d.seen_from(row.lat, row.lon)
            for d in me.days.values()
            if d.event != row.event and d.state in ("offered", "placed", "came")
            and d.date_state == "fixed" and d.stage != "called_off"
        ),
    )  # fmt: skip
    if minor and me.facts is not None:
        wish = replace(wish, guardian_yes=_yes(me.facts, row))
    try:
        return sign_up(openings, wish), ()
    except RuleBroken as refused:
        return None, refused.reasons


def _yes(facts: PersonFacts, row: OpenRow) -> bool:
    return guardian_says_yes(facts, row.day, row.majority_age, row.minutes_to_signal == 0)
