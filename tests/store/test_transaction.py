"""Read and write units on both databases."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import uuid4

import pytest
from sqlalchemy import func, select, update
from sqlalchemy.exc import DBAPIError

from roster.domain.errors import Conflict, NotAllowed
from roster.domain.people import Actor, ActorKind, system
from roster.store import unit as units
from roster.store.models.journal import journal, journal_head, journal_value
from roster.store.models.people import person, person_address, staff_grant, withheld
from roster.store.registry import Store
from roster.store.transaction import read, write

CLI = system("cli")


def add_person(store: Store, name: str = "Ida Holt", state: str = "active") -> int:
    number = store.unit.insert(
        person, name=name, name_key=name, state=state, added_at=store.unit.at
    )
    store.unit.note("add", "person", number, after={"name": name})
    return number


def add_address(store: Store, number: int, address: str) -> int:
    store.unit.note("add", "address", number)
    return store.unit.insert(
        person_address, person=number, address=address, key=address, use="sign_in"
    )


def count(table: Any) -> int:
    return read(lambda s: int(s.unit.run(select(func.count()).select_from(table)).scalar_one()))


def test_a_read_cannot_write_by_the_word_of_the_database(both: Any) -> None:
    write(add_person, actor=CLI)
    with pytest.raises(DBAPIError, match=r"readonly|read-only"):
        read(lambda s: s.unit.run(update(person).values(name="Nobody")))
    assert read(lambda s: s.unit.run(select(person.c.name)).scalar_one()) == "Ida Holt"


def test_a_write_that_raises_leaves_nothing_behind(both: Any) -> None:
    def body(store: Store) -> None:
        add_person(store)
        raise ValueError("half way")

    with pytest.raises(ValueError, match="half way"):
        write(body, actor=CLI)
    assert (count(person), count(journal)) == (0, 0)


def test_a_change_without_a_journal_row_is_refused(both: Any) -> None:
    write(add_person, actor=CLI)
    with pytest.raises(AssertionError, match="without a journal row"):
        write(lambda s: s.unit.run(update(person).values(name="Other")), actor=CLI)
    assert read(lambda s: s.unit.run(select(person.c.name)).scalar_one()) == "Ida Holt"


def test_a_repeated_operation_gets_the_first_answer_and_changes_nothing(both: Any) -> None:
    operation = uuid4()
    first = write(add_person, actor=CLI, operation=operation)
    again = write(lambda s: add_person(s, "Somebody Else"), actor=CLI, operation=operation)
    assert again == first
    assert count(person) == 1


def test_operations_of_two_actors_do_not_meet(both: Any) -> None:
    operation = uuid4()
    write(add_person, actor=CLI, operation=operation)
    write(add_person, actor=system("job:demo"), operation=operation)
    assert count(person) == 2


def test_a_transaction_inside_a_transaction_is_a_fault(both: Any) -> None:
    with pytest.raises(RuntimeError, match="already open"):
        read(lambda _: read(lambda store: store.unit.at))


def test_a_person_who_has_left_may_not_act(both: Any) -> None:
    left = write(lambda s: add_person(s, state="left"), actor=CLI)
    with pytest.raises(NotAllowed):
        write(add_person, actor=Actor(ActorKind.PERSON, "Ida Holt", left))
    assert count(person) == 1


@pytest.mark.parametrize(
    ("until_on", "holds"),
    [(date(2027, 6, 17), True), (date(2027, 6, 16), False)],
    ids=["last day of the grant", "day after the grant"],
)
def test_a_grant_counts_until_the_day_before_it_ends(
    both: Any, until_on: date, holds: bool
) -> None:
    def body(store: Store) -> int:
        number = add_person(store)
        store.unit.insert(staff_grant, person=number, role="coordinator",
                          from_on=date(2027, 1, 1), until_on=until_on)  # fmt: skip
        return number

    number = write(body, actor=CLI)
    seen = read(lambda s: s.access.actor_of(number))
    assert seen is not None
    assert seen.is_coordinator is holds


def test_the_second_sign_in_with_one_address_is_a_conflict_whatever_its_letters(both: Any) -> None:
    one = write(add_person, actor=CLI)
    write(lambda s: add_address(s, one, "ida@example.org"), actor=CLI)
    with pytest.raises(Conflict) as caught:
        write(lambda s: add_address(s, one, "IDA@Example.org"), actor=CLI)
    assert caught.value.reason.code == "address_taken"
    assert count(person_address) == 1


def test_the_journal_is_a_chain_and_two_times_rows_carry_its_number(both: Any) -> None:
    def body(store: Store) -> int:
        number = add_person(store)
        store.unit.note("withhold", "person", number, before={"kind": None},
                        after={"kind": "suspended", "reason": "lost card"})  # fmt: skip
        return store.unit.insert(withheld, person=number, role="lead", kind="suspended",
                                 from_on=date(2027, 5, 1))  # fmt: skip

    row = write(body, actor=CLI)
    write(lambda s: (s.unit.end(withheld, [row], "found"), s.unit.note("restore", "person", 1)),
          actor=CLI)  # fmt: skip
    rows = read(lambda s: s.unit.run(select(journal).order_by(journal.c.seq)).mappings().all())
    values = read(lambda s: s.unit.run(select(journal_value)).mappings().all())
    assert [r["seq"] for r in rows] == [1, 2, 3]
    assert [r["prev"] for r in rows] == ["", rows[0]["hash"], rows[1]["hash"]]
    assert [units.hash_of(r) for r in rows] == [r["hash"] for r in rows]
    mine = sorted((v for v in values if v["seq"] == 2), key=lambda v: v["field"])
    assert units.digest_of(mine) == rows[1]["digest"]
    head = read(lambda s: s.unit.run(select(journal_head)).one())
    assert (head.seq, head.hash) == (3, rows[2]["hash"])
    kept = read(lambda s: s.unit.run(select(withheld)).one())
    assert (kept.recorded_seq, kept.ended_seq, kept.ended_why) == (1, 3, "found")


def test_many_rows_come_back_in_the_order_given(both: Any) -> None:
    def body(store: Store) -> list[int]:
        rows = [{"name": f"P{i}", "name_key": f"P{i}", "state": "active",
                 "added_at": store.unit.at} for i in range(2500)]  # fmt: skip
        store.unit.note("import", "person", "batch")
        return store.unit.insert_many(person, rows)

    numbers = write(body, actor=CLI)
    names = dict(
        read(lambda s: [(r.id, r.name) for r in s.unit.run(select(person.c.id, person.c.name))])
    )
    assert [names[n] for n in numbers] == [f"P{i}" for i in range(2500)]
