"""The demonstration season: what stands in its way, and how it is taken out again."""

from __future__ import annotations

from roster.domain.errors import NotFound, RuleBroken
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.store import dump, strangers
from roster.store.registry import Store
from roster.store.transaction import read


def stands() -> bool:
    """Whether a demonstration stands in the database; False where nothing stands.

    Raises RuleBroken where there may be real people: those are never mixed with invented ones.
    """

    def body(store: Store) -> bool:
        programme = store.programme.the_one()
        if programme is None and strangers.people(store.unit) == 0:
            return False
        if programme is None or not programme.demo:
            raise RuleBroken([Reason("database_has_real_people")])
        met = strangers.strangers(store.unit)
        if met:
            raise RuleBroken([Reason("demo_met_strangers", {"n": met})])
        return True

    return read(body)


def take_out() -> None:
    """Empty a database that holds nothing but a demonstration; else RuleBroken, nothing done."""
    if stands():
        with dump.Loading():
            """Loading nothing leaves every table empty, guards in place."""


def acting(person: int) -> Actor:
    """A person as the one who acts, with the roles of today."""
    actor = read(lambda store: store.access.actor_of(person))
    if actor is None:
        raise NotFound("person", person)
    return actor
