"""What is known of the people of an event on its day, read in a constant number of statements."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Protocol

from roster.domain.clearance import step_days, verdict
from roster.domain.crew import EventFacts
from roster.domain.crew_member import CrewMember
from roster.domain.dates import age_on
from roster.domain.events import EventKind
from roster.domain.papers import consent_on, form_reason, guardian_reasons
from roster.domain.people import Role
from roster.domain.person_facts import PersonFacts, TrainingRules, is_minor
from roster.domain.spans import holding
from roster.domain.spots import SpotState, clashes
from roster.domain.sun import sun_times
from roster.domain.training import StepKind
from roster.services import landcheck
from roster.services.landcheck import Ground
from roster.store.places import SiteRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow

PLACED, CAME = SpotState.PLACED, SpotState.CAME
SHOWN = (PLACED, CAME, SpotState.ABSENT)


class Someone(Protocol):
    """A row that names a person; `root` is the person after merging."""

    @property
    def root(self) -> int:
        """The person's number after merging."""

    @property
    def name(self) -> str:
        """The person's name."""

    @property
    def born_on(self) -> date | None:
        """The birth date, where it is on record."""

    @property
    def of_age_on(self) -> date | None:
        """The day of majority, where that alone is on record."""


@dataclass(frozen=True)
class Standing:
    """How somebody stands on a day at a place: cleared roles with their last valid days."""

    cleared: Mapping[Role, date | None]
    is_minor: bool
    guardian_yes: bool = False
    screened: bool = False
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Crew:
    """An event with its land, all its spots, and the people on them.

    `everybody` are those placed, here or not here, by spot; `members` those of them that the crew
    check looks at.
    """

    land: Ground
    spots: tuple[SpotRow, ...]
    facts: EventFacts
    everybody: Mapping[int, CrewMember]
    members: tuple[CrewMember, ...]


def minor_at(someone: Someone, day: date, majority_age: int) -> bool:
    """Whether somebody is under the age of majority of a place on a day; unknown counts as yes."""
    known = PersonFacts(
        someone.root, someone.name, TrainingRules(), someone.born_on, someone.of_age_on
    )
    return is_minor(known, day, majority_age)


def crew(store: Store, event_id: int, *, all_yes: bool = False) -> Crew:
    """Everything that the crew check reads: who is placed, or on the day who came.

    With `all_yes` as if everybody who was asked again after a move had said yes.
    """
    land = landcheck.ground(store, event_id)
    spots = tuple(store.spots.of_event(event_id))
    came = tuple(s for s in spots if s.state == CAME)
    checked = came or tuple(s for s in spots if s.state == PLACED or (all_yes and s.is_asked_again))
    everybody = _everybody(store, land, spots, checked)
    silent = tuple(s.name for s in spots if s.is_asked_again and not all_yes)
    facts = replace(_event_facts(store, land, checked), unanswered=silent)
    return Crew(land, spots, facts, everybody, tuple(everybody[s.id] for s in checked))


def _event_facts(store: Store, land: Ground, checked: Sequence[SpotRow]) -> EventFacts:
    row, place = land.event, land.place
    leads = [s.person for s in checked if s.role == Role.LEAD]
    led = store.spots.led_before(leads, row.id) if leads else {}
    return EventFacts(
        event=row.id,
        kind=EventKind(row.kind),
        day=row.day,
        ends_at=row.ends_at,
        time_zone=row.time_zone,
        coverage=bool(row.coverage) and place.minutes_to_signal == 0,
        minimum_crew=row.minimum_crew,
        led_before=max(led.values(), default=0),
        vehicles=row.vehicles,
        walk_out_minutes=place.walk_out_minutes,
        sunset=sun_times(row.last_day, place.lat, place.lon, row.time_zone).sunset,
        land=tuple(landcheck.findings_on(store, land)),
    )


def _everybody(
    store: Store, land: Ground, spots: Sequence[SpotRow], checked: Sequence[SpotRow]
) -> dict[int, CrewMember]:
    row, place = land.event, land.place
    shown = [s for s in spots if s.state in SHOWN or s in checked]
    if not shown:
        return {}
    guardians = guardians_of(store, shown, row.day, place)
    along = accompanied(checked, guardians)
    stands = standings(store, shown, Place(row.day, place, landcheck.papers_on(land), along))
    elsewhere = _elsewhere(store, land, shown)
    return {
        s.id: CrewMember(
            person=s.root,
            name=s.name,
            role=s.as_role,
            cleared=stands[s.root].cleared,
            age=age_on(s.born_on, row.day) if s.born_on and s.born_on <= row.day else None,
            is_minor=stands[s.root].is_minor,
            screened=stands[s.root].screened,
            guardian_yes=stands[s.root].guardian_yes,
            household=s.household or "",
            guardians=guardians.get(s.person, frozenset()),
            lacks=stands[s.root].lacks,
            elsewhere=elsewhere.get(s.person, ()),
        )
        for s in shown
    }


def guardians_of(
    store: Store, checked: Sequence[SpotRow], day: date, place: SiteRow
) -> dict[int, frozenset[int]]:
    """The guardians of each minor among these, by the minor's number."""
    minors = [s.person for s in checked if minor_at(s, day, place.majority_age)]
    return store.spots.guardians_of(minors, day) if minors else {}


def accompanied(
    there: Sequence[SpotRow], guardians: Mapping[int, frozenset[int]]
) -> frozenset[int]:
    """Roots of those whose own guardian is there too."""
    present = {s.person for s in there} | {s.root for s in there}
    return frozenset(s.root for s in there if guardians.get(s.person, frozenset()) & present)


def _elsewhere(
    store: Store, land: Ground, checked: Sequence[SpotRow]
) -> dict[int, tuple[int, ...]]:
    row, place = land.event, land.place
    if row.date_state != "fixed":
        return {}
    found: dict[int, tuple[int, ...]] = {}
    people = [s.person for s in checked]
    for stay in store.spots.others_of(people, row.starts_at, row.ends_at, row.id):
        other = stay.seen_from(place.lat, place.lon)
        if clashes(row.starts_at, row.ends_at, [other]):
            found[stay.person] = (*found.get(stay.person, ()), stay.event)
    return found


@dataclass(frozen=True)
class Place:
    """Where and when people are to stand; `papers` that the land asks for; `accompanied` are roots
    of minors whose own guardian comes along, which lowers the youngest age."""

    day: date
    site: SiteRow
    papers: frozenset[str] = frozenset()
    accompanied: frozenset[int] = frozenset()


def standings(store: Store, people: Collection[Someone], at: Place) -> dict[int, Standing]:
    """How each of these people stands on a day at a place, by root.

    Adults are looked up in the interval table. Facts are read where it does not know enough: for
    minors and who looks after them, and where the land asks for papers.
    """
    minors = {p.root for p in people if minor_at(p, at.day, at.site.majority_age)}
    roots = {p.root for p in people}
    cleared = store.spots.cleared_on(roots, at.day)
    facts = store.facts.of_many(roots) if minors or at.papers else {}
    return {
        root: _standing(facts[root], at, root in minors, cleared[root])
        if root in facts
        else Standing(cleared[root], root in minors)
        for root in roots
    }


def _standing(
    known: PersonFacts, at: Place, minor: bool, cleared: Mapping[Role, date | None]
) -> Standing:
    if minor:
        there = known.person in at.accompanied
        verdicts = {r: verdict(known, r, at.day, guardian_there=there) for r in Role}
        cleared = {role: v.until for role, v in verdicts.items() if v.yes}
    return Standing(
        cleared,
        minor,
        guardian_yes=guardian_says_yes(
            known, at.day, at.site.majority_age, at.site.minutes_to_signal == 0
        ),
        screened=is_screened(known, at.day),
        lacks=papers_lacking(known, at.papers, at.day, at.site.majority_age),
    )


def guardian_says_yes(known: PersonFacts, day: date, majority_age: int, signal: bool) -> bool:
    """Whether a minor's guardian has consented to that day and place, emergency care included.

    `signal`: a call can be made there; a place without one must be in the consent.
    """
    if guardian_reasons(known, day, majority_age):
        return False
    consent = consent_on(known, day, majority_age)
    return consent is not None and (signal or consent.scope.no_signal)


def is_screened(known: PersonFacts, day: date) -> bool:
    """Whether a screening result holds on that day (only the result is kept, never a report)."""
    screenings = [s for s in known.rules.steps().values() if s.kind is StepKind.SCREENING]
    return any(holding(step_days(known, step), day) is not None for step in screenings)


def papers_lacking(
    known: PersonFacts, papers: Collection[str], day: date, majority_age: int
) -> tuple[str, ...]:
    """Titles of the papers that a land asks for and that do not hold on a day."""
    forms = [known.rules.form(code) for code in sorted(papers)]
    return tuple(
        form.title
        for form in forms
        if form is not None and form_reason(known, form, day, majority_age) is not None
    )
