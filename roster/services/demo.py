"""The demonstration season: what stands in its way, and how it is taken out again."""

from __future__ import annotations

from collections.abc import Mapping

from roster.domain.errors import NotFound, RuleBroken
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.store import emptying, strangers
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
        emptying.empty()


def acting(person: int) -> Actor:
    """A person as the one who acts, with the roles of today."""
    actor = read(lambda store: store.access.actor_of(person))
    if actor is None:
        raise NotFound("person", person)
    return actor


def numbers(addresses: Mapping[str, str]) -> dict[str, int]:
    """The number of the person behind each address, by whatever name stands beside it."""
    return read(lambda store: {name: store.people.find(a) for name, a in addresses.items()})


def numbers_of_batch(batch: int) -> list[int]:
    """The numbers of the people that an import added, in the order of its rows."""

    def body(store: Store) -> list[int]:
        rows = [row for row in store.exchange.batch_rows(batch) if row.act == "new"]
        return [row.row_id for row in sorted(rows, key=lambda row: row.line)]

    return read(body)
