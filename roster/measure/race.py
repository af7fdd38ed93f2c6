"""Many people at once for the last spots: never one too many, never one too few."""

from __future__ import annotations

import multiprocessing
import queue
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select, text

from roster.measure import scene
from roster.measure.databases import Place, fresh, kinds, opened
from roster.measure.lines import Line, counted
from roster.services import clock, spots, upkeep
from roster.store.base import db
from roster.store.engine import WRITE
from roster.store.models.events import event, spot

PEOPLE, SPOTS, PROCESSES = 200, 12, 8
PATIENCE = 300


@dataclass(frozen=True)
class Outcome:
    """What a round ended in: placed, waiting, errors by name, the counter, what verify says."""

    placed: int
    waiting: int
    errors: dict[str, int]
    taken: int
    agrees: bool


def rule_keeping(number: int, person: int) -> str:
    """Sign up by the use case."""
    return str(spots.sign_up(scene.ACTOR, number, person)["state"])


def naive(number: int, person: int) -> str:
    """Sign up as is often written: read, count, insert, each on its own. Must oversell."""
    placed = spot.c.state == "placed"
    with db.engine.connect() as connection:
        there = connection.execute(
            select(func.count()).select_from(spot).where(spot.c.event == number, placed)
        ).scalar_one()
        capacity = connection.execute(
            select(event.c.capacity).where(event.c.id == number)
        ).scalar_one()
    state = "placed" if there < capacity else "waiting"
    values = {"event": number, "person": person, "role": "crew_member", "state": state}
    values |= {"line_no": None if state == "placed" else person, "changed_at": clock.now()}
    with db.engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            connection.execute(spot.insert().values(**values))
    return state


WAYS: dict[str, Callable[[int, int], str]] = {"rules": rule_keeping, "naive": naive}


@dataclass(frozen=True)
class Share:
    """What one process does: sign these people up for that event, in that way."""

    place: Place
    event: int
    people: tuple[int, ...]
    way: str


def _work(share: Share, start: Any, answers: Any) -> None:
    with opened(share.place):
        with db.engine.connect() as connection:
            connection.execute(text("SELECT 1"))
        start.wait(PATIENCE)
        for person in share.people:
            try:
                answers.put(WAYS[share.way](share.event, person))
            except Exception as error:  # noqa: BLE001 - what a person would see is what is counted
                answers.put(f"error {type(error).__name__}")


def run_round(place: Place, here: scene.Scene, way: str, processes: int) -> Outcome:
    """All people at once, spread over processes that start together."""
    server = multiprocessing.get_context("forkserver")
    server.set_forkserver_preload(["roster.measure.race"])
    start, answers = server.Barrier(processes), server.Queue()
    workers = [
        server.Process(
            target=_work,
            args=(Share(place, here.event, here.people[i::processes], way), start, answers),
        )
        for i in range(processes)
    ]
    for worker in workers:
        worker.start()
    told = Counter(_answer(answers, workers) for _ in here.people)
    for worker in workers:
        worker.join(PATIENCE)
    return _outcome(place, here.event, told, check=way == "rules")


def _answer(answers: Any, workers: Sequence[Any]) -> str:
    """The next answer; RuntimeError as soon as a worker has died without giving all of its own."""
    for _ in range(PATIENCE):
        try:
            return str(answers.get(timeout=1))
        except queue.Empty:
            if any(worker.exitcode for worker in workers):
                break
    raise RuntimeError(f"workers ended with {[worker.exitcode for worker in workers]}")


def _outcome(place: Place, number: int, told: Counter[str], *, check: bool) -> Outcome:
    with opened(place):
        with db.engine.connect() as connection:
            found = connection.execute(
                select(spot.c.state, func.count())
                .where(spot.c.event == number)
                .group_by(spot.c.state)
            )
            states = {row[0]: int(row[1]) for row in found}
            taken = connection.execute(
                select(event.c.taken).where(event.c.id == number)
            ).scalar_one()
        agrees = upkeep.verify().holds if check else True
    errors = {k: n for k, n in told.items() if k.startswith("error")}
    return Outcome(states.get("placed", 0), states.get("waiting", 0), errors, taken, agrees)


def race(kind: str, rounds: int, people: int = PEOPLE, processes: int = PROCESSES) -> Line:
    """Rounds of the race on one kind of database; nothing may go wrong in any."""
    wrong: Counter[str] = Counter(oversold=0, unsold=0, errors=0, disagrees=0)
    for _ in range(rounds):
        with fresh(kind) as place:
            with opened(place):
                here = scene.make(people, SPOTS)
            got = run_round(place, here, "rules", processes)
        wrong["oversold"] += max(0, got.placed - SPOTS)
        wrong["unsold"] += max(0, SPOTS - got.placed)
        wrong["errors"] += sum(got.errors.values())
        wrong["disagrees"] += int(not got.agrees or got.taken != got.placed)
        wrong["disagrees"] += int(got.waiting != people - got.placed)
    return counted("sign-ups", "race", kind, rounds * people, dict(wrong), rounds=rounds)


def race_of_the_naive(
    kind: str, rounds: int, people: int = PEOPLE, processes: int = PROCESSES
) -> Line:
    """The same harness over naive code: it must oversell, else the harness sees nothing."""
    oversold = 0
    for _ in range(rounds):
        with fresh(kind) as place:
            with opened(place):
                here = scene.make(people, SPOTS)
            oversold += int(run_round(place, here, "naive", processes).placed > SPOTS)
        if oversold:
            break
    wrong = {"naive_not_caught": int(oversold == 0)}
    return counted("harness", "race-naive", kind, rounds * people, wrong, oversold_rounds=oversold)


def lines(rounds: int) -> Iterator[Line]:
    """All lines of the drill, on every database there is."""
    for kind in kinds():
        yield race(kind, rounds)
        yield race_of_the_naive(kind, rounds)
