"""Use cases of finished steps: recorded, confirmed, voided; a person exempted from one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roster.domain.clearance import step_days
from roster.domain.errors import BadInput, RuleBroken
from roster.domain.people import Actor, ActorKind
from roster.domain.person_entry import TEXT_MOST, plain_text
from roster.domain.person_facts import PersonFacts
from roster.domain.reasons import Fact, Reason
from roster.domain.spans import holding
from roster.domain.training import Source, Step
from roster.services.access import require, require_coordinator
from roster.services.people import Operation, after_facts, today_in
from roster.store.registry import Store
from roster.store.transaction import write


@dataclass(frozen=True)
class Detail:
    """What may be said besides step and day: last valid day on a card, mark in per cent."""

    own_until: date | None = None
    score: float | None = None
    operation: Operation = None


def record_completion(
    actor: Actor, person: int, step_code: str, done_on: date, detail: Detail = Detail()
) -> int:
    """A person finished a step on a day; gives the number of the record.

    By the person (source self; counts at once only where the step says so) or by who coordinates
    the home region. BadInput for a day to come, a mark outside 0 to 100, a step that is signed;
    RuleBroken where a step before it did not hold on that day.
    """

    def body(store: Store) -> int:
        require(store, "person", person, "staff", "self")
        row = store.people.get(person)
        step = store.training.step_of(step_code)
        _check_done(store, step, done_on, detail)
        if row.born_on is not None and done_on < row.born_on:
            raise BadInput("done_on", done_on, Reason("done_before_birth", {"day": done_on}))
        _check_prerequisites(store, store.facts.of(row.root), step, done_on)
        version = step.version_on(done_on)
        own = _is_self(store, person)
        number = store.training.add_completion(
            person=person, step=step.id, n=version.n if version else 1, done_on=done_on,
            own_until=detail.own_until, score=detail.score,
            source=(Source.SELF if own else Source.COORDINATOR).value,
        )  # fmt: skip
        told = {"step": step.name, "done_on": done_on, "source": "self" if own else "coordinator"}
        store.unit.note("finished", "person", person, region=row.region, after=told)
        after_facts(store, row.root)
        return number

    return write(body, actor=actor, operation=detail.operation)


def confirm_completion(actor: Actor, completion: int, operation: Operation = None) -> int:
    """Confirm what a person reported; gives the person. By who coordinates the home region."""

    def body(store: Store) -> int:
        row = store.training.completion(completion)
        require(store, "person", row.person, "staff")
        if row.ended_at is not None:
            raise RuleBroken([Reason("already_ended")])
        if not row.confirmed:
            store.training.add_confirmation(completion)
            told = {"step": row.step_name, "done_on": row.done_on}
            person = store.people.get(row.person)
            store.unit.note("confirmed", "person", row.person, region=person.region, after=told)
            after_facts(store, person.root)
        return row.person

    return write(body, actor=actor, operation=operation)


def void_completion(actor: Actor, completion: int, why: str, operation: Operation = None) -> int:
    """Void a finished step, with a reason; the record stays. Gives the person."""
    reason = plain_text("why", why, TEXT_MOST)

    def body(store: Store) -> int:
        row = store.training.completion(completion)
        require(store, "person", row.person, "staff")
        if not store.training.end_completion(completion, reason):
            raise RuleBroken([Reason("already_ended")])
        person = store.people.get(row.person)
        told = {"step": row.step_name, "done_on": row.done_on, "why": reason}
        store.unit.note("voided", "person", row.person, region=person.region, after=told)
        after_facts(store, person.root)
        return row.person

    return write(body, actor=actor, operation=operation)


def exempt(
    actor: Actor, person: int, step_code: str, days: tuple[date, date | None], why: str
) -> int:
    """Exempt a person from a step from a day until a day (half-open); by a coordinator."""
    reason = plain_text("why", why, TEXT_MOST)

    def body(store: Store) -> int:
        require_coordinator(store)
        first, until = days
        if until is not None and until <= first:
            raise BadInput("until_on", until, Reason("days_reversed"))
        step = store.training.step_of(step_code)
        row = store.people.get(person)
        number = store.training.add_exemption(person, step.id, first, until)
        told = {"step": step.name, "from_on": first, "until_on": until, "why": reason}
        store.unit.note("exempted", "person", person, region=row.region, after=told)
        after_facts(store, row.root)
        return number

    return write(body, actor=actor)


def _check_done(store: Store, step: Step, done_on: date, detail: Detail) -> None:
    if step.paper is not None:
        raise BadInput("step", step.code, Reason("step_is_signed", {"step": step.name}))
    if done_on > today_in(store):
        facts: dict[str, Fact] = {"step": step.name, "day": done_on}
        raise BadInput("done_on", done_on, Reason("done_in_future", facts))
    if detail.own_until is not None and detail.own_until < done_on:
        facts = {"last_day": detail.own_until, "day": done_on}
        raise BadInput("own_until", detail.own_until, Reason("own_end_before_done", facts))
    check_score("score", detail.score)


def _check_prerequisites(store: Store, facts: PersonFacts, step: Step, done_on: date) -> None:
    steps = store.training.steps()
    missing = [
        Reason("prerequisite_missing", {"needs": before.name, "step": step.name, "day": done_on})
        for before in (steps[n] for n in sorted(step.needs))
        if holding(step_days(facts, before), done_on) is None
    ]
    if missing:
        raise RuleBroken(missing)


def _is_self(store: Store, person: int) -> bool:
    actor = store.unit.actor
    return actor.kind is ActorKind.PERSON and actor.person == person


def check_score(name: str, value: float | None) -> None:
    """BadInput for a mark outside 0 to 100 per cent."""
    if value is not None and not 0 <= value <= 100:
        raise BadInput(name, value, Reason("score_out_of_range", {"value": value}))
