"""Processes killed with -9 in the middle: nothing acknowledged is lost, nothing is done twice."""

from __future__ import annotations

import multiprocessing
import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from roster.domain.spots import kept_roles
from roster.measure import kill_history, scene
from roster.measure.databases import Place, fresh, kinds, opened
from roster.measure.kill_worker import (
    LATER,
    Share,
    WrittenSender,
    send_mail,
    sign_up_and_withdraw,
    written_down,
)
from roster.measure.lines import Line, counted
from roster.services import clock, delivery, upkeep
from roster.services.clock import SetClock
from roster.store.transaction import read

PEOPLE, SPOTS, WORKERS = 40, 12, 4
DIES_IN = 0.08
ACTS = (1, 12)
PAUSE = (0.02, 0.12)
PATIENCE = 600


@dataclass
class Slot:
    """A worker and what it does; it is started again after each death."""

    work: Callable[[Place, Share], None]
    share: Share
    process: Any = None
    enough: int = 0

    def done(self) -> int:
        """How many acts or mails its record tells as done."""
        return sum("answer" in line or "took" in line for line in written_down(self.share.record))

    def start(self, context: Any, place: Place, acts: int = 0) -> None:
        """A fresh process, safe from the parent until it has done so many acts."""
        self.enough = self.done() + acts
        self.process = context.Process(target=self.work, args=(place, self.share), daemon=True)
        self.process.start()

    @property
    def is_ripe(self) -> bool:
        """Whether it lives and has done enough to be killed."""
        return bool(self.process.is_alive()) and self.done() >= self.enough


@dataclass
class Crowd:
    """All workers of a drill, and how many of them were killed by whom."""

    place: Place
    slots: list[Slot]
    luck: random.Random
    deaths: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self.context = multiprocessing.get_context("forkserver")
        self.context.set_forkserver_preload(["roster.measure.kill_worker"])
        for slot in self.slots:
            self._start(slot)

    def _start(self, slot: Slot) -> None:
        slot.start(self.context, self.place, self.luck.randint(*ACTS))

    def kill(self, kills: int) -> None:
        """Kill workers in the middle of their work, and start them again, `kills` times."""
        until = time.monotonic() + PATIENCE
        while sum(self.deaths.values()) < kills and time.monotonic() < until:
            time.sleep(self.luck.uniform(*PAUSE))
            ready = [slot for slot in self.slots if slot.is_ripe]
            if ready:
                self.luck.choice(ready).process.kill()
            self._bury()
        if sum(self.deaths.values()) < kills:
            raise TimeoutError(f"only {dict(self.deaths)} of {kills} kills in {PATIENCE} s")

    def _bury(self) -> None:
        for slot in self.slots:
            if slot.process.is_alive():
                continue
            slot.process.join()
            if slot.process.exitcode != -9:
                raise RuntimeError(f"a worker ended by itself with {slot.process.exitcode}")
            last = list(written_down(slot.share.record))[-1:]
            self.deaths[str(last[0].get("died", "by the parent")) if last else "early"] += 1
            self._start(slot)

    def finish(self) -> None:
        """Let every worker answer what it asked, and end."""
        Path(self.slots[0].share.stop).touch()
        for slot in self.slots:
            slot.process.join(PATIENCE)
            if slot.process.exitcode != 0:
                slot.start(self.context, self.place)
                slot.process.join(PATIENCE)


def _slots(place: Place, here: scene.Scene, seed: int, *, answers_first: bool) -> list[Slot]:
    folder = Path(place.folder)
    plain = Share(here.event, (), "", str(folder / "stop"), seed, DIES_IN, answers_first)
    found = []
    for i in range(WORKERS):
        share = replace(
            plain, people=here.people[i::WORKERS], record=str(folder / f"acts-{i}"), seed=seed + i
        )
        found.append(Slot(sign_up_and_withdraw, share))
    mailer = replace(plain, record=str(folder / "mail-0"), seed=seed + WORKERS)
    return [*found, Slot(send_mail, mailer)]


def _drain(place: Place, mailer: Share) -> None:
    """Send what is left once every lease of the dead is over."""
    with opened(place):
        at = clock.machine_now() + 2 * LATER
    quiet = replace(mailer, dies_in=0.0)
    for hours in range(8):
        with opened(place, SetClock(at + timedelta(hours=hours))):
            sender = WrittenSender(quiet, random.Random(0))  # noqa: S311 - never dies
            while delivery.send_due(sender, "the last mailer", batch=50):
                pass


def kill(
    kind: str, kills: int, seed: int = 1, people: int = PEOPLE, *, answers_first: bool = False
) -> Line:
    """Kill workers in the middle of sign-ups, withdrawals and mail; then hold all to account."""
    with fresh(kind) as place:
        with opened(place):
            here = scene.make(people, SPOTS)
        slots = _slots(place, here, seed, answers_first=answers_first)
        crowd = Crowd(place, slots, random.Random(seed))  # noqa: S311 - whom to kill
        try:
            crowd.kill(kills)
            crowd.finish()
        finally:
            for slot in slots:
                slot.process.kill()
                slot.process.join()
        _drain(place, slots[-1].share)
        with opened(place):
            return _account(kind, here, slots, crowd.deaths)


def _account(kind: str, here: scene.Scene, slots: list[Slot], deaths: Counter[str]) -> Line:
    event = read(lambda store: store.events.get(here.event))
    size = event.capacity - len(kept_roles(event.kind, ()))
    records = [slot.share.record for slot in slots[:-1]]
    told, acts = kill_history.answered(records), kill_history.journalled(here.event)
    wrong = kill_history.lost_and_doubled(told, acts)
    model = kill_history.Model(size)
    wrong["disagrees"] = kill_history.disagreements(acts, model, here.event)
    mail, repeats = kill_history.mail_faults([slots[-1].share.record])
    wrong |= mail | {"verify": int(not upkeep.verify().holds)}
    points = {name.replace(" ", "_").replace(",", ""): n for name, n in sorted(deaths.items())}
    return counted(
        "kill", "kill" if told else "kill-nothing-done", kind, sum(deaths.values()), wrong,
        answered=len(told), repeats_of_mail_that_may_repeat=repeats, **points,
    )  # fmt: skip


def kill_of_the_careless(kind: str, kills: int = 12) -> Line:
    """The same harness over workers that say yes before they act: it must see acts get lost."""
    line = kill(kind, kills, answers_first=True)
    seen = int(str(line.more["lost"]))
    return counted("harness", "kill-careless", kind, line.n, {"careless_not_caught": int(not seen)},
                   lost=seen)  # fmt: skip


def lines(kills: int) -> Iterator[Line]:
    """The drill on every database there is."""
    for kind in kinds():
        yield kill(kind, kills)
        yield kill_of_the_careless(kind)
