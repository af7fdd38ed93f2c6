"""The page of one person: verdict, training, papers, roles withheld, journal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.clearance import PersonFacts, Verdict, step_days, verdict, what_holds
from roster.domain.errors import NotAllowed, NotFound
from roster.domain.paper_forms import PaperForm, PaperKind
from roster.domain.people import Actor, Grant, Role
from roster.domain.person_entry import day_asked
from roster.domain.person_facts import age, comes_of_age, is_minor
from roster.domain.reasons import Reason
from roster.domain.spans import OPEN_END, holding
from roster.domain.training import Step, Track
from roster.services.people import today_in
from roster.store.papers import SignatureRow
from roster.store.people import Address, PersonRow
from roster.store.people_roles import GuardianRow
from roster.store.registry import Store
from roster.store.training import CompletionRow
from roster.store.transaction import read

JOURNAL_SHOWN = 30
DayPair = tuple[date, date]


@dataclass(frozen=True)
class StepLine:
    """A step of a track for one person: when it holds, and how it stands on the day asked.

    `held` are pairs of days, both inclusive, cut to the years shown and a day beyond. `asked` is
    False where nobody asks for it: a release of a minor.
    """

    step: Step
    held: tuple[DayPair, ...]
    holds: bool
    last_day: date | None
    newest: CompletionRow | None
    asked: bool = True


@dataclass(frozen=True)
class Act:
    """One row of the journal: when, who, the verb, and what belongs to it in words."""

    at: datetime
    who: str
    verb: str
    about: str


@dataclass(frozen=True)
class Withheld:
    """A role withheld: row, role ("all" for every role), kind, first day, last day."""

    row: int
    role: str
    kind: str
    from_on: date
    last_day: date | None


@dataclass(frozen=True)
class PersonPage:
    """Everything on the page of one person."""

    person: PersonRow
    addresses: tuple[Address, ...]
    grants: tuple[Grant, ...]
    guardians: tuple[GuardianRow, ...]
    today: date
    time_zone: str
    role: Role
    day: date
    verdict: Verdict
    holding: tuple[Reason, ...]
    cleared_today: tuple[tuple[Role, date | None], ...]
    track: Track | None
    lines: tuple[StepLine, ...]
    finished: tuple[CompletionRow, ...]
    papers: tuple[SignatureRow, ...]
    withheld: tuple[Withheld, ...]
    acts: tuple[Act, ...]
    is_minor: bool
    age: int | None
    of_age_on: date | None

    @property
    def years(self) -> DayPair:
        """The days of the chart of steps: last year and this."""
        return years_around(self.day)


def person_page(actor: Actor, number: int, role: Role | None, day: date | None) -> PersonPage:
    """The page of a person for who coordinates the home region. NotFound, NotAllowed."""

    def body(store: Store) -> PersonPage:
        stands = store.access.relations(actor, "person", number)
        if stands is None:
            raise NotFound("person", number)
        if "staff" not in stands:
            raise NotAllowed(f"{actor.name} does not coordinate person {number}")
        return _page(store, number, role, day)

    return read(body)


def _page(store: Store, number: int, role: Role | None, day: date | None) -> PersonPage:
    today = today_in(store)
    programme = store.programme.the_one()
    row = store.people.get(number)
    facts = store.facts.of(row.root)
    asked_role = role or _likeliest(facts, today)
    asked = day_asked(day, today)
    finished = tuple(store.training.completions_of([number]))
    tracks = facts.rules.tracks_to(asked_role)
    return PersonPage(
        person=row,
        addresses=tuple(store.people.addresses(number)),
        grants=tuple(g for _, g in store.people.grants(number) if _still(g, today)),
        guardians=tuple(store.people.guardians(number)),
        today=today,
        time_zone=programme.time_zone if programme else "UTC",
        role=asked_role,
        day=asked,
        verdict=verdict(facts, asked_role, asked),
        holding=what_holds(facts, asked_role, asked),
        cleared_today=cleared_roles(facts, today),
        track=tracks[0] if tracks else None,
        lines=step_lines(facts, tracks[0] if tracks else None, asked, finished),
        finished=finished,
        papers=tuple(store.papers.signatures_of([number])),
        withheld=tuple(_withheld(*w) for w in store.people.withheld_rows(number)),
        acts=_acts(store, number),
        is_minor=is_minor(facts, asked),
        age=age(facts, today),
        of_age_on=comes_of_age(facts),
    )


def cleared_roles(facts: PersonFacts, day: date) -> tuple[tuple[Role, date | None], ...]:
    """The roles in which a person is cleared on a day, each with its last valid day."""
    found = [(role, verdict(facts, role, day)) for role in Role]
    return tuple((role, given.until) for role, given in found if given.yes)


def step_lines(
    facts: PersonFacts, track: Track | None, day: date, finished: tuple[CompletionRow, ...]
) -> tuple[StepLine, ...]:
    """The steps of a track for one person, in order."""
    version = None if track is None else track.version_on(day)
    if version is None:
        return ()
    first, last = years_around(day)
    lines = []
    for place in version.steps:
        spans = step_days(facts, place.step)
        now = holding(spans, day)
        held = tuple(
            (max(a, first - timedelta(1)), min(b - timedelta(1), last + timedelta(1)))
            for a, b in spans
            if a <= last and b > first
        )
        until = None if now is None or now[1] == OPEN_END else now[1] - timedelta(1)
        newest = next((f for f in finished if f.step == place.step.id), None)
        asked = not _spared(facts, place.step, day)
        lines.append(
            StepLine(place.step, held if asked else (), now is not None, until, newest, asked)
        )
    return tuple(lines)


def _spared(facts: PersonFacts, step: Step, day: date) -> bool:
    """Whether a step asks for a release, which nobody asks of a minor."""
    form = None if step.paper is None else facts.rules.form(step.paper)
    return form is not None and form.kind is PaperKind.RELEASE and is_minor(facts, day)


def years_around(day: date) -> DayPair:
    """From New Year of the year before to the end of the year of a day."""
    return date(day.year - 1, 1, 1), date(day.year, 12, 31)


def _likeliest(facts: PersonFacts, today: date) -> Role:
    """The most that a person is cleared for, else the first role of a track."""
    cleared = {role for role, _ in cleared_roles(facts, today)}
    for role in (Role.LEAD, Role.DATA_COLLECTOR, Role.CREW_MEMBER):
        if role in cleared:
            return role
    return Role.CREW_MEMBER


def _still(grant: Grant, today: date) -> bool:
    return grant.until_on is None or grant.until_on > today


def _withheld(row: int, role: str, kind: str, from_on: date, until_on: date | None) -> Withheld:
    last = None if until_on is None else until_on - timedelta(1)
    return Withheld(row, role, kind, from_on, last)


def _acts(store: Store, number: int) -> tuple[Act, ...]:
    lines = store.journal.of("person", number, limit=JOURNAL_SHOWN)
    return tuple(
        Act(line.at, line.actor, line.verb, ", ".join(_about(line.values))) for line in lines
    )


_TOLD = ("step", "paper", "role", "why")


def _about(values: tuple[tuple[str, str | None, str | None], ...]) -> list[str]:
    """What an act was about: names of steps, papers and roles, and the reason given."""
    told = {field: after for field, _before, after in values}
    return [text for field in _TOLD if (text := told.get(field))]


@dataclass(frozen=True)
class RecordChoices:
    """What can be recorded of a person: steps, forms to be signed, guardians."""

    person: PersonRow
    today: date
    steps: tuple[Step, ...]
    forms: tuple[PaperForm, ...]
    guardians: tuple[GuardianRow, ...]
    address: str | None


def record_choices(actor: Actor, number: int) -> RecordChoices:
    """The choices of the forms on a person's page. NotFound, NotAllowed."""

    def body(store: Store) -> RecordChoices:
        stands = store.access.relations(actor, "person", number)
        if stands is None:
            raise NotFound("person", number)
        if "staff" not in stands:
            raise NotAllowed(f"{actor.name} does not coordinate person {number}")
        today = today_in(store)
        steps = sorted(store.training.steps().values(), key=lambda s: (s.name, s.id))
        return RecordChoices(
            store.people.get(number), today, tuple(s for s in steps if s.paper is None),
            tuple(store.papers.forms_in_force(today)), tuple(store.people.guardians(number)),
            next((a.address for a in store.people.addresses(number) if a.use == "sign_in"), None),
        )  # fmt: skip

    return read(body)
