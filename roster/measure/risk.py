"""Events at risk in the next fourteen days: by their summaries, beside counting their crews."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from sqlalchemy import Date, bindparam, text

from roster.domain.crew import CrewRules
from roster.measure.crowd import TODAY
from roster.measure.databases import kinds
from roster.measure.lines import Line
from roster.measure.meter import Meter
from roster.measure.pairs import Pair, interleaved
from roster.measure.standing import standing
from roster.store.registry import Store
from roster.store.transaction import read

AT_MOST = 0.25
FIRST, LAST = TODAY, TODAY + timedelta(days=13)

# All of a crowd are adults and every site has a signal, so this asks less than the crew check.
_LIVE = text("""
SELECT e.id, e.day
FROM event AS e
WHERE e.day BETWEEN :first AND :last AND e.stage IN ('draft', 'open', 'ready', 'under_way')
  AND e.kind IN ('collecting', 'site_check')
  AND (NOT EXISTS (
      SELECT 1 FROM spot AS s JOIN held AS h ON h.root = s.person AND h.role = s.role
      WHERE s.event = e.id AND s.state = 'placed' AND s.role = 'lead'
        AND h.from_on <= e.day AND (h.until_on IS NULL OR h.until_on > e.day))
    OR (
      SELECT COUNT(*) FROM spot AS s JOIN held AS h ON h.root = s.person AND h.role = s.role
      WHERE s.event = e.id AND s.state = 'placed'
        AND h.from_on <= e.day AND (h.until_on IS NULL OR h.until_on > e.day))
      < CASE WHEN e.minimum_crew < :least THEN :least ELSE e.minimum_crew END)
ORDER BY e.day, e.id
""").bindparams(bindparam("first", type_=Date), bindparam("last", type_=Date))
_VALUES = {"first": FIRST, "last": LAST, "least": CrewRules().minimum_with_coverage}


def live(store: Store) -> list[int]:
    """Events at risk by counting who is placed and cleared."""
    return [row.id for row in store.unit.run(_LIVE, _VALUES).all()]


def by_summary(store: Store) -> list[int]:
    """The same by what is kept for each event."""
    return [one.event for one in store.summary.at_risk(FIRST, LAST)]


def compared(kind: str, people: int) -> Line:
    """One line: CPU of the kept numbers by that of the live query, server included."""
    with standing(kind, people) as (_app, known):
        kept, counted = read(by_summary), read(live)
        wrong = None if kept == counted and counted else "the sets differ"
        meter = Meter.here()

        def timed(store: Store) -> tuple[list[float], list[float]]:
            return interleaved(
                meter.side(lambda: by_summary(store)), meter.side(lambda: live(store))
            )

        above, below = read(timed)
    line = Pair("risk", kind, known.events, above, below, at_most=AT_MOST).line(wrong)
    return replace(line, more={**line.more, "found": len(kept), "server": meter.sees_server})


def lines(people: int) -> Iterator[Line]:
    """One line for each database; a fifth as many events as people."""
    for kind in kinds():
        yield compared(kind, people)
