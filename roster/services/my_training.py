"""My training: what stands between a person and each role, and what can be done about it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.clearance import Verdict, verdict
from roster.domain.errors import BadInput, NotAllowed, NotFound
from roster.domain.paper_forms import PaperForm, SignedBy
from roster.domain.papers import GUARDIANS
from roster.domain.people import Actor, Role
from roster.domain.person_facts import PersonFacts, is_minor
from roster.domain.reasons import Fact, Reason
from roster.domain.training import Step, Track
from roster.services.papers import NewSignature, record_signature
from roster.services.people import Operation, today_in
from roster.services.person_page import StepLine, step_lines
from roster.store.registry import Store
from roster.store.training import CompletionRow
from roster.store.transaction import read


@dataclass(frozen=True)
class RoleLine:
    """A role, its track, the verdict of today, and how many steps of it hold."""

    track: Track
    verdict: Verdict
    held: int
    needed: int


@dataclass(frozen=True)
class MyTraining:
    """What a person sees of the own training; `chosen` is the track that the page is about."""

    name: str
    today: date
    roles: tuple[RoleLine, ...]
    chosen: RoleLine | None
    lines: tuple[StepLine, ...]
    next_step: Step | None
    form: PaperForm | None
    waiting: tuple[CompletionRow, ...]
    lapsing: tuple[StepLine, ...]
    is_minor: bool


def my_training(actor: Actor, code: str | None = None) -> MyTraining:
    """The page of whoever is signed in; `code` of a track, else the nearest to be finished."""

    def body(store: Store) -> MyTraining:
        if actor.person is None:
            raise NotAllowed("nobody is signed in")
        today = today_in(store)
        facts = store.facts.of(store.people.get(actor.person).root)
        finished = tuple(store.training.completions_of([actor.person]))
        every = [_role_line(facts, t, today) for t in facts.rules.tracks]
        roles = _one_a_role(every)
        chosen = _chosen(every, roles, code)
        lines = () if chosen is None else step_lines(facts, chosen.track, today, finished)
        step = next(iter(chosen.verdict.next_steps), None) if chosen else None
        return MyTraining(
            facts.name, today, roles, chosen, lines, step, _form(store, step, today),
            tuple(f for f in finished if not f.confirmed), _lapsing(lines, today),
            is_minor(facts, today),
        )  # fmt: skip

    return read(body)


SOON_DAYS = 60


def _lapsing(lines: tuple[StepLine, ...], today: date) -> tuple[StepLine, ...]:
    soon = today + timedelta(days=SOON_DAYS)
    return tuple(x for x in lines if x.asked and x.last_day is not None and x.last_day <= soon)


def _role_line(facts: PersonFacts, track: Track, day: date) -> RoleLine:
    given = verdict(facts, track.role, day)
    lines = step_lines(facts, track, day, ())
    return RoleLine(track, given, sum(x.holds for x in lines), len(lines))


def _one_a_role(every: list[RoleLine]) -> tuple[RoleLine, ...]:
    """Of several tracks to a role the one that lacks least, in the order of the roles."""
    found = []
    for role in _ORDER:
        mine = [line for line in every if line.track.role is role]
        if mine:
            found.append(min(mine, key=lambda line: line.needed - line.held))
    return tuple(found)


def _chosen(
    every: list[RoleLine], roles: tuple[RoleLine, ...], code: str | None
) -> RoleLine | None:
    """The track asked for; else the first role that is not reached, else the last."""
    if code is not None:
        found = next((r for r in every if r.track.code == code), None)
        if found is None:
            raise NotFound("track", code)
        return found
    open_ones = [r for r in roles if not r.verdict.yes]
    return open_ones[0] if open_ones else (roles[-1] if roles else None)


_ORDER = [Role.CREW_MEMBER, Role.DATA_COLLECTOR, Role.LEAD, Role.FIRST_AIDER, Role.DRIVER]


def _form(store: Store, step: Step | None, today: date) -> PaperForm | None:
    """The newest version in force of the form that a step asks to be signed."""
    if step is None or step.paper is None:
        return None
    mine = [f for f in store.papers.forms_in_force(today) if f.code == step.paper]
    return max(mine, key=lambda f: f.version, default=None)


@dataclass(frozen=True)
class PaperToSign:
    """A form as it is shown: the one shown is the one signed."""

    form: PaperForm
    text: str
    today: date
    name: str
    is_minor: bool


def _paper(shown: PaperToSign) -> dict[str, Fact]:
    return {"paper": shown.form.title}


def paper_to_sign(actor: Actor, number: int) -> PaperToSign:
    """A form that the person may sign. NotFound for guardians' forms and old versions."""

    def body(store: Store) -> PaperToSign:
        if actor.person is None:
            raise NotAllowed("nobody is signed in")
        today = today_in(store)
        form = next((f for f in store.papers.forms_in_force(today) if f.id == number), None)
        if form is None or form.kind in GUARDIANS:
            raise NotFound("paper", number)
        text, _sha256 = store.papers.text_of(number)
        row = store.people.get(actor.person)
        minor = is_minor(store.facts.of(row.root), today)
        return PaperToSign(form, text, today, row.name, minor)

    return read(body)


def sign(actor: Actor, number: int, typed_name: str, operation: Operation = None) -> int:
    """The signed-in person signs a form as shown, today; gives the number of the signature."""
    shown = paper_to_sign(actor, number)
    if shown.is_minor:
        raise BadInput("typed_name", typed_name, Reason("guardian_needed", _paper(shown)))
    new = NewSignature(number, shown.today, SignedBy.TYPED, typed_name=typed_name)
    return record_signature(actor, actor.person or 0, new, operation)
