"""Leads: who is near, cleared and free; what they are doing; who was asked and agreed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import (
    BindParameter,
    Date,
    Float,
    Integer,
    Select,
    Text,
    bindparam,
    case,
    func,
    or_,
    select,
    union,
    update,
)

from roster.domain.errors import NotFound
from roster.store.lead_rings import rings, statement
from roster.store.lead_values import AskRow, Doing, LeadRow, Near, Reach
from roster.store.models.events import event, event_population, lead_ask, spot
from roster.store.models.land import population
from roster.store.models.people import away, free_rule, held, knows_taxon, person
from roster.store.rows import made
from roster.store.unit import Unit

LIVE_SPOTS = ("placed", "offered", "came")


def _p(name: str, kind: Any) -> BindParameter[Any]:
    return bindparam(name, type_=kind)


_dot = held.c.x * _p("x", Float) + held.c.y * _p("y", Float) + held.c.z * _p("z", Float)
_on_day = (
    held.c.role == _p("role", Text),
    held.c.from_on <= _p("day", Date),
    or_(held.c.until_on.is_(None), held.c.until_on > _p("day", Date)),
)
# Built once: making a statement costs more than running it on an indexed table.
_CLEARED = (
    select(held.c.root.label("person"), func.max(_dot).label("dot"))
    .where(*_on_day)
    .group_by(held.c.root)
    .order_by(func.coalesce(func.max(_dot), -2.0).desc(), held.c.root)
    .limit(_p("most", Integer))
)


class Leads:
    """Reads the interval table; keeps who was asked."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def nearest_free(self, reach: Reach, most: int) -> list[Near]:
        """The nearest people cleared and not busy that day, within the least cosine.

        Rings round the place are looked at until one holds as many as are wanted.
        """
        values = _values(reach) | {"most": most}
        rows: Sequence[Any] = ()
        for ring in rings(reach):
            query, runs = statement(ring)
            rows = self.unit.run(query, values | runs | {"least": ring.least}).fetchall()
            if len(rows) >= most:
                break
        return [Near(*row) for row in rows]

    def cleared(self, reach: Reach, most: int) -> list[Near]:
        """The nearest people cleared that day, busy or not; those without a home place last."""
        rows = self.unit.run(_CLEARED, _values(reach) | {"most": most})
        return [Near(row.person, row.dot) for row in rows]

    def counts(self, role: str, day: date) -> tuple[int, int]:
        """How many people have ever been cleared in a role, and how many are on a day."""
        holds = case((_holds(day), held.c.root))
        row = self.unit.run(
            select(
                func.count(held.c.root.distinct()).label("ever"),
                func.count(holds.distinct()).label("on_day"),
            ).where(held.c.role == role)
        ).one()
        return int(row.ever), int(row.on_day)

    def lapsed(self, role: str, day: date, most: int) -> list[tuple[int, str]]:
        """People who hold a role on some other day, not on this: number and name."""
        on_day = select(held.c.root).where(held.c.role == role, _holds(day))
        rows = self.unit.run(
            select(person.c.id, person.c.name)
            .where(
                person.c.id.in_(select(held.c.root).where(held.c.role == role)),
                person.c.id.not_in(on_day),
                person.c.state == "active",
            )
            .order_by(person.c.name_key, person.c.id)
            .limit(most)
        )
        return [(row.id, row.name) for row in rows]

    def rows(self, people: Collection[int]) -> list[LeadRow]:
        """What these people said of themselves; those who are not active are left out."""
        rows = self.unit.run(
            select(
                person.c.id.label("person"),
                person.c.name,
                person.c.x,
                person.c.y,
                person.c.z,
                free_rule.c.weekdays,
                free_rule.c.minutes_drive,
                free_rule.c.per_month,
            )
            .outerjoin(free_rule, free_rule.c.person == person.c.id)
            .where(person.c.id.in_(people), person.c.state == "active")
        )
        return [made(LeadRow, row) for row in rows]

    def away_on(self, people: Collection[int], day: date) -> set[int]:
        """Which of these people said that they are away that day."""
        rows = self.unit.run(
            select(away.c.person).where(
                away.c.person.in_(people), away.c.from_on <= day, away.c.until_on > day
            )
        )
        return set(rows.scalars())

    def knowing(self, people: Collection[int], taxa: Collection[int]) -> set[int]:
        """Which of these people know every one of these species."""
        if not taxa:
            return set(people)
        k = knows_taxon.c
        rows = self.unit.run(
            select(k.person)
            .where(k.person.in_(people), k.taxon.in_(taxa))
            .group_by(k.person)
            .having(func.count() == len(set(taxa)))
        )
        return set(rows.scalars())

    def holding(self, people: Collection[int], role: str, day: date) -> set[int]:
        """Which of these people are cleared in a role on a day."""
        rows = self.unit.run(
            select(held.c.root).where(held.c.root.in_(people), held.c.role == role, _holds(day))
        )
        return set(rows.scalars())

    def doing(self, people: Collection[int], first: date, last: date) -> list[Doing]:
        """The events of these people between two days, by spot or by a role they agreed to."""
        rows = self.unit.run(_doing(people, first, last))
        return [made(Doing, row) for row in rows]

    def led_at(self, people: Collection[int], at_site: int) -> dict[int, int]:
        """How many done events at a site each of these people has led."""
        rows = self.unit.run(
            select(lead_ask.c.person, func.count().label("n"))
            .join(event, event.c.id == lead_ask.c.event)
            .where(
                lead_ask.c.person.in_(people),
                lead_ask.c.role == "lead",
                lead_ask.c.state == "agreed",
                event.c.site == at_site,
                event.c.stage == "done",
            )
            .group_by(lead_ask.c.person)
        )
        return {row.person: row.n for row in rows}

    def taxa_of(self, number: int) -> list[int]:
        """The species of an event's populations."""
        rows = self.unit.run(
            select(population.c.taxon)
            .distinct()
            .join(event_population, event_population.c.population == population.c.id)
            .where(event_population.c.event == number)
            .order_by(population.c.taxon)
        )
        return list(rows.scalars())

    def add_ask(self, number: int, asked: int, role: str, until: datetime | None) -> int:
        """A question to one person; gives its number."""
        return self.unit.insert(
            lead_ask,
            event=number,
            person=asked,
            role=role,
            state="asked",
            until=until,
            asked_at=self.unit.at,
        )

    def asks(self, number: int) -> list[AskRow]:
        """Every question of an event, oldest first."""
        rows = self.unit.run(_asks().where(lead_ask.c.event == number).order_by(lead_ask.c.id))
        return [made(AskRow, row) for row in rows]

    def ask(self, number: int) -> AskRow:
        """One question by its number; NotFound if there is none."""
        row = self.unit.run(_asks().where(lead_ask.c.id == number)).one_or_none()
        if row is None:
            raise NotFound("link", number)
        return made(AskRow, row)

    def answer(self, numbers: Sequence[int], state: str) -> int:
        """Bring questions to a state; how many were still open or agreed."""
        done = self.unit.run(
            update(lead_ask)
            .where(lead_ask.c.id.in_(numbers), lead_ask.c.state.in_(("asked", "agreed")))
            .values(state=state, answered_at=self.unit.at)
        )
        return int(done.rowcount)


def _values(reach: Reach) -> dict[str, Any]:
    x, y, z = reach.at
    return {"role": reach.role, "day": reach.day, "x": x, "y": y, "z": z}


def _holds(day: date) -> Any:
    return (held.c.from_on <= day) & (held.c.until_on.is_(None) | (held.c.until_on > day))


def _asks() -> Select[Any]:
    return select(lead_ask, person.c.name).join(person, person.c.id == lead_ask.c.person)


def _doing(people: Collection[int], first: date, last: date) -> Any:
    def on(table: Any, states: tuple[str, ...]) -> Select[Any]:
        return (
            select(
                table.c.person,
                table.c.event,
                event.c.day,
                event.c.last_day,
                event.c.site,
            )
            .join(event, event.c.id == table.c.event)
            .where(
                table.c.person.in_(people),
                table.c.state.in_(states),
                event.c.stage != "called_off",
                event.c.last_day >= first,
                event.c.day <= last,
            )
        )

    return union(on(spot, LIVE_SPOTS), on(lead_ask, ("agreed",)))
