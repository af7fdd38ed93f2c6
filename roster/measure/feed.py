"""A calendar of five hundred events, beside a bare hello: not changed, kept, after one change."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from dataclasses import replace

from flask import Flask

from roster.ical.entries import vevent
from roster.measure import crowd, crowd_events
from roster.measure.asked import Asked, hello
from roster.measure.databases import fresh, kinds, opened
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import ROUNDS, Pair
from roster.services import feeds, invites, tokens
from roster.services.calendar_entries import REGION, Reader, entry_of, keep_texts
from roster.services.clock import SetClock
from roster.store.registry import Store
from roster.store.transaction import read, write

EVENTS, PEOPLE = 500, 300
AT_MOST = {"unchanged": 4.0, "kept": 5.0, "changed": 60.0}


def fill(events: int) -> tuple[int, list[int]]:
    """A region with so many events and a feed of its own: the region's number, its events."""
    ground = crowd.lay()
    crowd.take_on(ground, list(crowd.newcomers(PEOPLE)))
    region = ground.regions[0]
    here = [i for i, r in enumerate(ground.regions) if r == region]
    one_region = replace(
        ground,
        sites=tuple(ground.sites[i] for i in here),
        populations=tuple(ground.populations[i] for i in here),
        regions=tuple(region for _ in here),
    )
    numbers = crowd_events.send_out(one_region, events)

    def texts(store: Store) -> None:
        for number in numbers:
            keep_texts(store, number)
        store.feeds.make(region=region)
        store.unit.note("made", "feed", region)

    write(texts, actor=crowd.ACTOR)
    return region, numbers


class Calendar:
    """The feed of a region at its address."""

    def __init__(self, app: Flask, region: int, events: list[int]) -> None:
        self.region, self.events = region, events
        feed = read(lambda store: store.feeds.of_region(region))
        assert feed is not None  # noqa: S101 - made above
        self.path = f"/feeds/{tokens.token(feeds.PURPOSE, feed.id, feed.generation)}.ics"
        self._app = app

    def ask(self, **headers: str) -> Asked:
        """A calendar program's request; it takes gzip, as all that are in use do."""
        return Asked(self._app, self.path, Accept_Encoding="gzip", **headers)

    def change_one(self, turn: int) -> None:
        """Bring one event to its next number, with all that follows from it."""
        number = self.events[turn % len(self.events)]

        def body(store: Store) -> None:
            n = store.events.revise(number, "moved")
            invites.event_changed(store, number, n, "changed")
            store.unit.note("changed", "event", number)

        write(body, actor=crowd.ACTOR)

    def keep(self) -> None:
        """Make and keep the bytes, as the job does."""
        feeds.refresh_kept()

    def wrong(self) -> str | None:
        """What of the feed is not as written afresh from every event."""
        reader = Reader(REGION, "en")
        events = read(lambda store: [store.feeds.event(number) for number in self.events])
        written = [vevent(entry_of(e, reader)) for e in events if e is not None]
        joined = gzip.decompress(self.ask().answer().body)
        self.keep()
        kept = self.ask().answer()
        again = self.ask(If_None_Match=kept.headers["ETag"]).answer()
        if gzip.decompress(kept.body) != joined:
            return "kept and joined bytes differ"
        if joined.count(b"BEGIN:VEVENT") != len(written):
            return "the feed has other events"
        if not all(one in joined for one in written):
            return "an event is not as written afresh"
        return None if (again.status, again.body) == (304, b"") else f"answers {again.status}"


def compared(kind: str, events: int = EVENTS) -> Iterator[Line]:
    """Three lines, each CPU of an answer by that of a bare hello."""
    with fresh(kind) as place, opened(place, SetClock(crowd.NOW)) as app:
        calendar = Calendar(app, *fill(events))
        calendar.ask().answer()
        calendar.change_one(0)
        wrong = calendar.wrong()
        meter = Meter.here()
        bare = meter.side(hello().answer)
        samples: dict[str, tuple[list[float], list[float]]] = {n: ([], []) for n in AT_MOST}
        for turn in range(ROUNDS):
            calendar.change_one(turn)
            _sample(samples["changed"], meter, calendar.ask(), bare)
            calendar.keep()
            kept = calendar.ask()
            _sample(samples["kept"], meter, kept, bare)
            asked = calendar.ask(If_None_Match=kept.answer().headers["ETag"])
            _sample(samples["unchanged"], meter, asked, bare)
    for name, limit in AT_MOST.items():
        line = Pair(f"feed.{name}", kind, events, *samples[name], at_most=limit).line(wrong)
        yield replace(line, goal="feed", more={**line.more, "server": meter.sees_server})


def _sample(
    into: tuple[list[float], list[float]], meter: Meter, asked: Asked, bare: object
) -> None:
    into[0].append(meter.side(asked.answer)())
    into[1].append(bare())  # type: ignore[operator]


def lines(_people: int) -> Iterator[Line]:
    """Three lines for each database; their size is fixed."""
    for kind in kinds():
        yield from compared(kind)
