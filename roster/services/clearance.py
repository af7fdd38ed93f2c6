"""Verdicts for people, roles and days; the interval table kept, rebuilt and compared."""

from __future__ import annotations

import gc
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from importlib.metadata import version

from roster.domain.clearance import PersonFacts, Verdict, intervals, verdict
from roster.domain.errors import NotAllowed, NotFound
from roster.domain.people import Actor, Role, system
from roster.domain.training import Step
from roster.services.access import require_coordinator
from roster.store.consistency import Difference
from roster.store.held import Cleared, rows_of
from roster.store.registry import Store
from roster.store.transaction import read, write

MENDED_MOST = 10
"""More differences than this are a fault of ours: they are told, not mended."""


@dataclass(frozen=True)
class Answer:
    """A verdict as commands and pages give it."""

    person: int
    name: str
    role: Role
    day: date
    known_at: datetime | None
    verdict: Verdict


@dataclass(frozen=True)
class Comparison:
    """How the interval table compares with verdicts worked out afresh."""

    people: int
    differing: tuple[int, ...]
    mended: bool


def verdict_in(store: Store, person_id: int, role: Role, day: date) -> Verdict:
    """The verdict for one person, role and day, by what is on record now."""
    return verdict(store.facts.of(person_id), role, day)


def verdicts_in(
    store: Store, person_ids: Collection[int], roles: Collection[Role], day: date
) -> dict[tuple[int, Role], Verdict]:
    """Verdicts for many people and roles on a day, in a constant number of statements."""
    found = store.facts.of_many(person_ids)
    return {(i, role): verdict(facts, role, day) for i, facts in found.items() for role in roles}


def cleared(
    actor: Actor, person_id: int, role: Role, day: date, known_at: datetime | None = None
) -> Answer:
    """The verdict for a person: for the person and for who coordinates the home region.

    With `known_at` by what was on record at that instant. NotFound, NotAllowed.
    """

    def body(store: Store) -> Answer:
        _may_look(store, actor, person_id)
        facts = store.facts.of(store.people.get(person_id).root, history=known_at is not None)
        given = verdict(facts, role, day, known_at)
        return Answer(person_id, facts.name, role, day, known_at, given)

    return read(body)


def find_person(told: str) -> int:
    """The number of a person told as `V123` or a sign-in address. NotFound."""
    return read(lambda store: store.people.find(told))


def rows_for(facts: PersonFacts) -> list[Cleared]:
    """The rows of the interval table that the facts of a person make."""
    roles = {track.role for track in facts.rules.tracks}
    return rows_of(facts.person, [(role.value, intervals(facts, role)) for role in sorted(roles)])


def refresh(store: Store, root: int) -> None:
    """Work out the rows of one person anew; in the transaction of whatever changed the facts."""
    refresh_many(store, [root])


def refresh_many(store: Store, roots: Collection[int]) -> None:
    """The same for many people, in a number of statements that does not grow with each."""
    found = store.facts.of_many(roots)
    store.held.replace(list(roots), [row for facts in found.values() for row in rows_for(facts)])


def clears_a_newcomer(store: Store, today: date) -> bool:
    """Whether an adult of whom nothing else is on record would be cleared in any role."""
    long_ago = today.replace(year=today.year - 60, day=1)
    nobody = PersonFacts(0, "", store.facts.rules, of_age_on=long_ago)
    return bool(rows_for(nobody))


def rebuild(actor: Actor) -> int:
    """Work out the whole table anew; gives how many rows it has."""

    def body(store: Store) -> int:
        require_coordinator(store)
        return rebuild_in(store)

    return write(body, actor=actor)


def rebuild_in(store: Store) -> int:
    """The same in a transaction at hand."""
    store.held.clear()
    count = 0
    with no_collector():
        for found in store.facts.everybody():
            rows = [row for facts in found.values() for row in rows_for(facts)]
            store.held.fill(found, rows)
            count += len(rows)
    store.held.mark_rebuilt(version("tzdata"))
    store.unit.note("rebuilt", "held", "all", after={"rows": count})
    return count


def verify(actor: Actor) -> Comparison:
    """Compare the table with what the facts say; a few differences are mended and told."""

    def look(store: Store) -> tuple[int, list[int]]:
        people, differing = 0, []
        for found in store.facts.everybody(1000):
            there = _by_root(store.held.of_many(found))
            people += len(found)
            for root, facts in found.items():
                if sorted(rows_for(facts), key=_order) != there.get(root, []):
                    differing.append(root)
        return people, differing

    def mend(store: Store) -> None:
        require_coordinator(store)
        refresh_many(store, differing)
        for root in differing:
            store.unit.note("mended", "held", root)

    people, differing = read(look)
    few = 0 < len(differing) <= MENDED_MOST
    if few:
        write(mend, actor=actor)
    return Comparison(people, tuple(differing), few)


def checked() -> list[Difference]:
    """The same for `verify`: one difference a person."""
    found = verify(system("cli:verify"))
    how = "mended" if found.mended else "not mended"
    return [Difference("held", root, how, "by the facts") for root in found.differing]


def missing_steps(
    store: Store, person_ids: Collection[int], role: Role, day: date
) -> Mapping[int, tuple[Step, ...]]:
    """For each person the steps that can be begun now, in the order of the track."""
    return {i: v.next_steps for (i, _), v in verdicts_in(store, person_ids, [role], day).items()}


def _may_look(store: Store, actor: Actor, person_id: int) -> None:
    found = store.access.relations(actor, "person", person_id)
    if found is None:
        raise NotFound("person", person_id)
    if not found & {"staff", "self"}:
        raise NotAllowed(f"{actor.name} may not look at person {person_id}")


def _by_root(rows: Collection[Cleared]) -> dict[int, list[Cleared]]:
    found: dict[int, list[Cleared]] = {}
    for row in rows:
        found.setdefault(row.root, []).append(row)
    return {root: sorted(some, key=_order) for root, some in found.items()}


def _order(row: Cleared) -> tuple[str, date]:
    return row.role, row.from_on


@contextmanager
def no_collector() -> Iterator[None]:
    """Millions of small values that nobody points back at: the collector would only walk them."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
