"""Checks any plan against the problem as it is stated; shares no code with the model.

Plain loops over plain values, so that it can be read beside the statement of the problem.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from roster.domain.geo import great_circle_km
from roster.planning.problem import (
    Cell,
    Event,
    Kept,
    Person,
    Population,
    Problem,
    Promise,
    holds_on,
)

EDGE_KM = 1e-9


@dataclass(frozen=True, slots=True)
class Fault:
    """A rule that a plan breaks: its code, the population and day, and particulars."""

    code: str
    population: str
    day: int
    detail: str = ""


class _Book:
    """The problem by id."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.populations = {p.id: p for p in problem.populations}
        self.people = {q.id: q for q in problem.people}
        self.cells = {c.id: c for c in problem.crew_cells}
        self.frozen = {(m.population, m.day): m for m in problem.frozen()}
        self.months = problem.months()

    def is_frozen(self, e: Event) -> bool:
        return (e.population, e.day) in self.frozen


def faults(problem: Problem, events: Sequence[Event]) -> list[Fault]:
    """Everything that the events break; empty for a plan that holds."""
    book = _Book(problem)
    found = _unknown(book, events)
    if found:
        return found
    free = [e for e in events if not book.is_frozen(e)]
    for e in free:
        found += _day(book, e) + _two_people(book, e)
    for e in events:
        found += _crew_of(book, e)
    found += _promises_kept(book, events) + _crew_shared(book, events) + _crew_left(book, events)
    return found + _people_shared(book, events) + _population_rests(book, events)


def _unknown(book: _Book, events: Iterable[Event]) -> list[Fault]:
    """Ids and days that the problem does not have, and one population twice on a day."""
    found, seen = [], set()
    for e in events:
        if e.population not in book.populations:
            found.append(Fault("unknown_population", e.population, e.day))
        found += [Fault("unknown_person", e.population, e.day, q)
                  for q in (e.lead, e.data_collector) if q not in book.people]  # fmt: skip
        found += [Fault("unknown_cell", e.population, e.day, c)
                  for c, _ in e.crew if c not in book.cells]  # fmt: skip
        if not 0 <= e.day < book.problem.day_count:
            found.append(Fault("day_outside_season", e.population, e.day))
        if (e.population, e.day) in seen:
            found.append(Fault("twice_on_a_day", e.population, e.day))
        seen.add((e.population, e.day))
    return found


def _day(book: _Book, e: Event) -> list[Fault]:
    p, rules = book.populations[e.population], book.problem.rules
    found = []
    if e.day < rules.frozen_until:
        found.append(Fault("day_is_frozen", e.population, e.day))
    if not holds_on(p.open, e.day):
        found.append(Fault("day_not_open", e.population, e.day))
    if p.share_on(e.day) < rules.ripe_at_least:
        found.append(Fault("not_ripe_enough", e.population, e.day, str(p.share_on(e.day))))
    return found


def _two_people(book: _Book, e: Event) -> list[Fault]:
    lead, other = book.people[e.lead], book.people[e.data_collector]
    found = [] if lead.id != other.id else [Fault("one_person_in_both_roles", e.population, e.day)]
    p = book.populations[e.population]
    for q, cleared, role in ((lead, lead.lead, "lead"),
                             (other, other.data_collector, "data_collector")):  # fmt: skip
        if not holds_on(q.free, e.day):
            found.append(Fault(f"{role}_not_free", e.population, e.day, q.id))
        if not holds_on(cleared, e.day):
            found.append(Fault(f"{role}_not_cleared", e.population, e.day, q.id))
        if not _reaches(q, p):
            found.append(Fault(f"{role}_out_of_reach", e.population, e.day, q.id))
    return found


def _reaches(who: Person | Cell, p: Population) -> bool:
    return great_circle_km(p.lat, p.lon, who.lat, who.lon) <= who.km + EDGE_KM


def _crew_of(book: _Book, e: Event) -> list[Fault]:
    p = book.populations[e.population]
    found = []
    total = sum(n for _, n in e.crew)
    if any(n < 1 or n != int(n) for _, n in e.crew):
        found.append(Fault("crew_not_whole", e.population, e.day))
    if len({c for c, _ in e.crew}) < len(e.crew):
        found.append(Fault("cell_named_twice", e.population, e.day))
    if total > p.crew:
        found.append(Fault("crew_too_large", e.population, e.day, f"{total} for {p.crew}"))
    if total < p.crew and not book.is_frozen(e):
        found.append(Fault("crew_too_small", e.population, e.day, f"{total} for {p.crew}"))
    found += [Fault("cell_out_of_reach", e.population, e.day, c)
              for c, _ in e.crew if not _reaches(book.cells[c], p)]  # fmt: skip
    return found


def _crew_shared(book: _Book, events: Iterable[Event]) -> list[Fault]:
    sent: Counter[tuple[str, int]] = Counter()
    for e in events:
        for cell, n in e.crew:
            sent[cell, e.day] += n
    return [Fault("cell_overdrawn", cell, day, f"{n} of {book.cells[cell].people[day]}")
            for (cell, day), n in sent.items() if n > book.cells[cell].people[day]]  # fmt: skip


def _crew_left(book: _Book, events: Sequence[Event]) -> list[Fault]:
    """A frozen event may lack crew only if nobody in reach is left at home."""
    found = []
    for e in events:
        p = book.populations[e.population]
        if not book.is_frozen(e) or sum(n for _, n in e.crew) >= p.crew:
            continue
        for cell in book.problem.crew_cells:
            sent = sum(n for o in events if o.day == e.day for c, n in o.crew if c == cell.id)
            if sent < cell.people[e.day] and _reaches(cell, p):
                found.append(Fault("crew_left_at_home", e.population, e.day, cell.id))
    return found


def _promises_kept(book: _Book, events: Sequence[Event]) -> list[Fault]:
    at = {(e.population, e.day): e for e in events}
    found = []
    for (population, day), m in book.frozen.items():
        e = at.get((population, day))
        if e is None or (e.lead, e.data_collector) != (m.lead, m.data_collector):
            found.append(Fault("frozen_promise_changed", population, day))
    return found


def _people_shared(book: _Book, events: Iterable[Event]) -> list[Fault]:
    """One event a day and so many a month; frozen events alone may break it, nothing on top."""
    a_day: Counter[tuple[str, int]] = Counter()
    a_month: Counter[tuple[str, int]] = Counter()
    new: set[tuple[str, str, int]] = set()
    for e in events:
        for q in {e.lead, e.data_collector}:
            a_day[q, e.day] += 1
            a_month[q, book.months[e.day]] += 1
            if not book.is_frozen(e):
                new |= {("day", q, e.day), ("month", q, book.months[e.day])}
    found = [Fault("person_twice_a_day", q, day)
             for (q, day), n in a_day.items() if n > 1 and ("day", q, day) in new]  # fmt: skip
    return found + [
        Fault("person_over_month_limit", q, month, f"{n} of {book.people[q].per_month}")
        for (q, month), n in a_month.items()
        if n > book.people[q].per_month and ("month", q, month) in new
    ]


def _population_rests(book: _Book, events: Iterable[Event]) -> list[Fault]:
    days: dict[str, list[tuple[int, bool]]] = {}
    for e in events:
        days.setdefault(e.population, []).append((e.day, book.is_frozen(e)))
    found = []
    for name, visits in days.items():
        p, ordered = book.populations[name], sorted(visits)
        if len(ordered) > p.visits and not all(frozen for _, frozen in ordered):
            found.append(Fault("too_many_visits", name, ordered[-1][0]))
        for (a, was), (b, frozen) in pairwise(ordered):
            if b - a < max(1, p.spacing_days) and not (was and frozen):
                found.append(Fault("too_soon_again", name, b, f"{b - a} days"))
    return found


def worth(problem: Problem, events: Sequence[Event]) -> float:
    """The value of the events as the problem states it, added up by hand."""
    book, rules = _Book(problem), problem.rules
    targets = {t.id: t for t in problem.targets}
    total = 0.0
    by_target: dict[str, float] = {}
    by_population: dict[str, float] = {}
    for e in events:
        p = book.populations[e.population]
        amount = p.amount * p.share_on(e.day)
        people = (book.people[e.lead], book.people[e.data_collector])
        way = sum(great_circle_km(p.lat, p.lon, q.lat, q.lon) for q in people)
        total += targets[p.target].value * amount - rules.per_event - 2 * rules.per_km * way
        by_target[p.target] = by_target.get(p.target, 0.0) + amount
        by_population[p.id] = by_population.get(p.id, 0.0) + amount
    for name, amount in by_target.items():
        over = max(0.0, amount - targets[name].amount)
        total -= (1 - rules.after_target) * targets[name].value * over
    for name, amount in by_population.items():
        over = max(0.0, amount - book.populations[name].amount)
        total -= (1 - rules.after_first) * targets[book.populations[name].target].value * over
    return total - sum(_due(problem, m, events) for m in problem.promised)


def _due(problem: Problem, m: Promise, events: Iterable[Event]) -> float:
    rules = problem.rules
    for e in events:
        if (e.population, e.day) == (m.population, m.day):
            lead = rules.keep_lead if e.lead != m.lead else 0.0
            return lead + (rules.keep_data_collector if e.data_collector != m.data_collector else 0)
    return rules.keep_day + rules.keep_lead + rules.keep_data_collector


def broken_frozen(problem: Problem, events: Sequence[Event]) -> list[Kept]:
    """Frozen promises that break a rule and are kept all the same, with what they break."""
    told: dict[tuple[str, int], list[str]] = {}
    thawed = _Book(problem)
    thawed.frozen = {}
    thawed.problem = problem
    frozen = [e for e in events if e.day < problem.rules.frozen_until]
    at = {(e.population, e.day): e for e in frozen}
    for e in frozen:
        for fault in _day(thawed, e) + _two_people(thawed, e) + _crew_of(thawed, e):
            if fault.code != "day_is_frozen":
                told.setdefault((e.population, e.day), []).append(fault.code)
    for fault in _population_rests(thawed, frozen):
        told.setdefault((fault.population, fault.day), []).append(fault.code)
    for fault in _people_shared(thawed, frozen):
        for (name, day), e in at.items():
            unit = day if fault.code == "person_twice_a_day" else thawed.months[day]
            if fault.population in (e.lead, e.data_collector) and unit == fault.day:
                told.setdefault((name, day), []).append(fault.code)
    return [Kept(name, day, ", ".join(dict.fromkeys(codes)))
            for (name, day), codes in sorted(told.items())]  # fmt: skip
