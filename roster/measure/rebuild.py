"""How the interval table's making grows with the programme: for everybody, and for one person."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import cycle
from math import log
from random import Random

from flask import Flask

from roster.domain.clearance import verdict
from roster.domain.people import Role
from roster.measure.crowd import ACTOR, SEED, TODAY
from roster.measure.databases import kinds
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import ROUNDS, Pair
from roster.measure.standing import standing
from roster.services import clearance
from roster.store.held import Cleared
from roster.store.registry import Store
from roster.store.transaction import read, write

GROWTH_AT_MOST = 1.10
ONE_AT_MOST = 0.15
SHARE_AT_MOST = 0.25
SMALL = 1000
SAMPLE = 200
DAYS = (-400, -30, 0, 30, 200)


class Programme:
    """A crowd of one size: its table made anew, or the rows of one person after another."""

    def __init__(self, app: Flask, people: int) -> None:
        self.app = app
        self.people = people
        dice = Random(SEED + 5)  # noqa: S311 - the same people each time
        self.sample = sorted(dice.sample(range(2, people + 2), min(SAMPLE, people)))
        self._turns = cycle(self.sample)
        self.rebuild()
        self.one()
        with app.app_context():
            self.meter = Meter.here()
        self._several = max(5, min(50, people // 20))

    def rebuild(self) -> None:
        """The whole table in one transaction."""
        with self.app.app_context():
            clearance.rebuild(ACTOR)

    def one(self) -> None:
        """The rows of one person, in a transaction of their own."""
        self._refresh(next(self._turns))

    def _refresh(self, person: int) -> None:
        with self.app.app_context():
            write(lambda store: clearance.refresh(store, person), actor=ACTOR)

    def seconds_of_all(self) -> float:
        """CPU seconds of the whole table."""
        return self.meter.of(self.rebuild)

    def seconds_of_one(self) -> float:
        """CPU seconds of one person, on average over several."""

        def several() -> None:
            for _ in range(self._several):
                self.one()

        return self.meter.of(several) / self._several

    def wrong(self) -> str | None:
        """What the table says otherwise than one by one, or than verdicts day by day."""
        self.rebuild()
        whole = self._rows()
        for person in self.sample:
            self._refresh(person)
        if self._rows() != whole:
            return "one by one the table differs"
        with self.app.app_context():
            differing = read(lambda store: against_verdicts(store, self.sample, whole))
        return f"{differing} verdicts differ from the table" if differing else None

    def _rows(self) -> list[Cleared]:
        with self.app.app_context():
            return read(lambda store: store.held.of_many(self.sample))


def against_verdicts(store: Store, people: Sequence[int], rows: Sequence[Cleared]) -> int:
    """How many verdicts of these people, by role and day, are not what the rows say."""
    days = [TODAY + timedelta(days=n) for n in DAYS]
    holds = {
        (row.root, row.role, day)
        for row in rows
        for day in days
        if row.from_on <= day and (row.until_on is None or row.until_on > day)
    }
    return sum(
        verdict(facts, role, day).yes is not ((number, role.value, day) in holds)
        for number, facts in store.facts.of_many(people).items()
        for role in Role
        for day in days
    )


def grown(kind: str, people: int) -> Iterator[Line]:
    """Three lines: growth of the whole, growth of one person, and one person beside the whole."""
    small_size = max(people // 100, min(SMALL, people // 10))
    with standing(kind, small_size) as (small_app, _), standing(kind, people) as (app, _known):
        small, big = Programme(small_app, small_size), Programme(app, people)
        wrong = small.wrong() or big.wrong()
        sides: list[Callable[[], float]] = [
            small.seconds_of_all, big.seconds_of_all, small.seconds_of_one, big.seconds_of_one,
        ]  # fmt: skip
        rounds = [[side() for side in sides] for _ in range(ROUNDS)]
    few_all, all_, few_one, one = (list(column) for column in zip(*rounds, strict=True))
    told = {"from": small_size, "server": big.meter.sees_server}
    for name, above, below, limit in (
        ("rebuild.growth", all_, few_all, GROWTH_AT_MOST),
        ("rebuild.one.growth", one, few_one, ONE_AT_MOST),
    ):
        span = log(people / small_size)
        exponents = [log(a / b) / span for a, b in zip(above, below, strict=True)]
        plain = Pair(name, kind, people, above, below).line(wrong)
        line = Pair(name, kind, people, exponents, [1.0] * ROUNDS, at_most=limit).line(wrong)
        yield replace(line, goal="rebuild", more={**plain.more, **told})
    shared = [seconds * people for seconds in one]
    line = Pair("rebuild.share", kind, people, all_, shared, at_most=SHARE_AT_MOST).line(wrong)
    yield replace(line, goal="rebuild", more={**line.more, **told})


def lines(people: int) -> Iterator[Line]:
    """Three lines for each database."""
    for kind in kinds():
        yield from grown(kind, people)
