"""Use cases of training: steps and tracks defined and changed; finished steps stand beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from roster.domain.dates import parse_duration
from roster.domain.errors import BadInput
from roster.domain.people import Actor, Role
from roster.domain.person_entry import NAME_MOST, plain_text
from roster.domain.reasons import Reason
from roster.domain.training import SEASON_END, Step, StepKind
from roster.services import clearance
from roster.services.access import require_coordinator
from roster.services.checks import text as checked_text
from roster.services.finished import (
    Detail,
    check_score,
    confirm_completion,
    exempt,
    record_completion,
    void_completion,
)
from roster.services.people import Operation, today_in
from roster.store.registry import Store
from roster.store.transaction import write

__all__ = [
    "Detail",
    "NewStep",
    "NewTrack",
    "StepRules",
    "change_track",
    "confirm_completion",
    "define_step",
    "define_track",
    "exempt",
    "record_completion",
    "renew_step",
    "void_completion",
]

ABOUT_MOST = 2000


@dataclass(frozen=True)
class StepRules:
    """What a version of a step asks: see domain.training.StepVersion."""

    validity: str | None = None
    pass_mark: float | None = None
    self_counts: bool = False
    renews: bool = False


@dataclass(frozen=True)
class NewStep:
    """A step to be defined; `needs` are codes of steps before it, `paper` the code of a form."""

    code: str
    name: str
    kind: StepKind
    rules: StepRules = StepRules()
    needs: tuple[str, ...] = ()
    paper: str | None = None
    about: str = ""
    from_on: date | None = None


@dataclass(frozen=True)
class NewTrack:
    """A track to be defined: codes of its steps in order, with the day each is needed from."""

    code: str
    name: str
    role: Role
    youngest_age: int
    steps: tuple[str, ...]
    youngest_with_guardian: int | None = None
    needed_from: dict[str, date] = field(default_factory=dict)
    from_on: date | None = None


def define_step(actor: Actor, new: NewStep, operation: Operation = None) -> int:
    """A new step with its first version, in force from today or a day; gives its number."""
    name = plain_text("name", new.name, NAME_MOST)
    code = plain_text("code", new.code, 40)
    about = checked_text("about", new.about, most=ABOUT_MOST, needed=False)
    _check_rules(new.rules)

    def body(store: Store) -> int:
        require_coordinator(store)
        steps = {s.code: s for s in store.training.steps().values()}
        if code in steps:
            raise BadInput("code", code, Reason("code_taken", {"value": code}))
        needs = [_by_code(steps, other).id for other in new.needs]
        number = store.training.add_step(
            needs, code=code, name=name, kind=StepKind(new.kind).value, about=about,
            paper=new.paper,
        )  # fmt: skip
        _add_version(store, number, 1, new.from_on or today_in(store), new.rules)
        store.unit.note("added", "step", number, after={"name": name, "kind": new.kind.value})
        return number

    return write(body, actor=actor, operation=operation)


def renew_step(
    actor: Actor, code: str, from_on: date, rules: StepRules, operation: Operation = None
) -> int:
    """A new version of a step, in force from a day; all clearances are worked out anew."""
    _check_rules(rules)

    def body(store: Store) -> int:
        require_coordinator(store)
        step = store.training.step_of(code)
        n = 1 + max((v.n for v in step.versions), default=0)
        _add_version(store, step.id, n, from_on, rules)
        store.unit.note("renewed", "step", step.id, after={"version": n, "from_on": from_on})
        _after_rules(store)
        return n

    return write(body, actor=actor, operation=operation)


def define_track(actor: Actor, new: NewTrack, operation: Operation = None) -> int:
    """A new track in its first version; gives its number."""
    name = plain_text("name", new.name, NAME_MOST)
    code = plain_text("code", new.code, 40)

    def body(store: Store) -> int:
        require_coordinator(store)
        if any(t.code == code for t in store.training.tracks()):
            raise BadInput("code", code, Reason("code_taken", {"value": code}))
        steps = _ordered(store, new.steps, new.needed_from)
        number = store.training.add_track(
            code=code, name=name, role=Role(new.role).value, youngest_age=new.youngest_age,
            youngest_with_guardian=new.youngest_with_guardian,
        )  # fmt: skip
        store.training.add_track_version(number, 1, new.from_on or today_in(store), steps)
        store.unit.note("added", "track", number, after={"name": name, "role": new.role.value})
        _after_rules(store)
        return number

    return write(body, actor=actor, operation=operation)


def change_track(
    actor: Actor, code: str, from_on: date, steps: Sequence[str], operation: Operation = None
) -> int:
    """Other steps for a track from a day on; gives the version. Clearances are worked out anew."""

    def body(store: Store) -> int:
        require_coordinator(store)
        track = store.training.track_of(code)
        n = 1 + max((v.n for v in track.versions), default=0)
        store.training.add_track_version(track.id, n, from_on, _ordered(store, steps, {}))
        store.unit.note("changed", "track", track.id, after={"version": n, "from_on": from_on})
        _after_rules(store)
        return n

    return write(body, actor=actor, operation=operation)


def _after_rules(store: Store) -> None:
    """Work out every clearance anew, and with it every crew that is still to go out."""
    from roster.services import crewcheck

    clearance.rebuild_in(store)
    for event in store.events.open_between(store.unit.at, None):
        crewcheck.refresh(store, event)


def _check_rules(rules: StepRules) -> None:
    if rules.validity is not None and rules.validity != SEASON_END:
        parse_duration(rules.validity)
    check_score("pass_mark", rules.pass_mark)


def _add_version(store: Store, step: int, n: int, from_on: date, rules: StepRules) -> None:
    store.training.add_step_version(
        step, n=n, from_on=from_on, validity=rules.validity, pass_mark=rules.pass_mark,
        self_counts=int(rules.self_counts), renews=int(rules.renews),
    )  # fmt: skip


def _by_code(steps: dict[str, Step], code: str) -> Step:
    if code not in steps:
        raise BadInput("step", code, Reason("not_found", {"kind": "step", "value": code}))
    return steps[code]


def _ordered(
    store: Store, codes: Sequence[str], needed_from: dict[str, date]
) -> list[tuple[int, date | None]]:
    if not codes:
        raise BadInput("steps", None, Reason("track_without_steps"))
    steps = {s.code: s for s in store.training.steps().values()}
    found = []
    for place, code in enumerate(codes):
        step = _by_code(steps, code)
        if code in codes[:place]:
            raise BadInput("steps", code, Reason("step_twice", {"step": step.name}))
        found.append((step.id, needed_from.get(code)))
    return found
