"""Spots and waiting lists: plain statements only, the event locked by the caller first."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime, timedelta
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, Select, and_, bindparam, func, select, union, update

from roster.domain.spots import LIVE_STATES, SpotState
from roster.store.crew_rows import CrewRows
from roster.store.models.events import event, lead_ask, spot, spot_change
from roster.store.models.land import site
from roster.store.models.people import busy, person
from roster.store.rows import made, made_or_none
from roster.store.spot_lists import SpotLists
from roster.store.spot_values import SpotRow, StayRow
from roster.store.unit import Unit

LIVE = tuple(sorted(s.value for s in LIVE_STATES))
LONGEST_BUSY_DAYS = 14


class Spots(SpotLists, CrewRows):
    """Spots one by one and for whole events; lists stand in `SpotLists`, people in `CrewRows`."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def of_event(self, number: int) -> list[SpotRow]:
        """Every spot of an event, the waiting list in its order at the end."""
        rows = self.unit.run(
            _spots()
            .where(spot.c.event == number)
            .order_by(func.coalesce(spot.c.line_no, 0), spot.c.id)
        )
        return [made(SpotRow, row) for row in rows]

    def one(self, number: int, who: int) -> SpotRow | None:
        """The spot of one person on an event, or None."""
        row = self.unit.run(_spots().where(spot.c.event == number, spot.c.person == who))
        return made_or_none(SpotRow, row.one_or_none())

    def live_roles(self, number: int) -> list[str]:
        """The roles in which spots of an event are taken."""
        rows = self.unit.run(select(spot.c.role).where(spot.c.event == number, _live()))
        return list(rows.scalars())

    def next_line(self, number: int) -> int:
        """The number of the next person on an event's waiting list."""
        last = select(func.max(spot.c.line_no)).where(spot.c.event == number)
        return int(self.unit.run(last).scalar() or 0) + 1

    def add(self, number: int, who: int, role: str, state: SpotState, **more: Any) -> int:
        """A new spot; gives its number."""
        added = self.unit.insert(
            spot,
            event=number,
            person=who,
            role=role,
            state=state.value,
            changed_at=self.unit.at,
            **more,
        )
        self._changed(added, None, state, "")
        return added

    def change(self, row: SpotRow, state: SpotState, why: str = "", **columns: Any) -> None:
        """Bring a spot to a state (line, offer and question are cleared unless given)."""
        values = {"line_no": None, "offered_until": None, "asked_n": None} | columns
        self.unit.run(
            update(spot)
            .where(spot.c.id == row.id)
            .values(state=state.value, changed_at=self.unit.at, **values)
        )
        self._changed(row.id, row.state, state, why)

    def _changed(self, number: int, before: str | None, after: SpotState, why: str) -> None:
        self.unit.insert(
            spot_change,
            spot=number,
            before=before,
            after=after.value,
            why=why,
            by=self.unit.actor.person,
            at=self.unit.at,
        )

    def recount(self, number: int) -> None:
        """Count an event's taken spots anew (offered, placed, came), and its crew up by one.

        The CHECK on the column refuses more than there are.
        """
        taken = select(func.count()).where(spot.c.event == number, _live()).scalar_subquery()
        self.unit.run(
            update(event)
            .where(event.c.id == number)
            .values(taken=taken, crew_version=event.c.crew_version + 1)
        )

    def others_of(
        self, people: Collection[int], start: datetime, end: datetime, but: int
    ) -> list[StayRow]:
        """Other events on fixed days near these hours that these people hold spots on."""
        day = timedelta(days=1)
        near = {"people": list(people), "from": start - day, "until": end + day, "but": but}
        rows = self.unit.run(_stays(), near).all() if people else []
        return [made(StayRow, row) for row in rows]

    def refresh_busy(self, people: Sequence[int]) -> None:
        """Work out anew on which local days these people are busy: live spots, agreed roles."""
        if not people:
            return
        roots = self._roots(people)
        days = self._busy_days(roots)
        self.unit.run(busy.delete().where(busy.c.root.in_(set(roots.values()))))
        if days:
            values = [{"day": d, "root": r, "events": n} for (d, r), n in days.items()]
            self.unit.run(busy.insert(), values)

    def _busy_days(self, roots: dict[int, int]) -> dict[tuple[date, int], int]:
        """On how many events each root is on each local day."""
        days: dict[tuple[date, int], set[int]] = {}
        for row in self.unit.run(_days_of(), {"people": list(roots)}):
            for n in range(min((row.last_day - row.day).days, LONGEST_BUSY_DAYS) + 1):
                key = (row.day + timedelta(days=n), roots[row.person])
                days.setdefault(key, set()).add(row.event)
        return {key: len(events) for key, events in days.items()}

    def with_busy_days(self) -> list[int]:
        """Everybody who has, or should have, a busy day."""
        both = (
            select(spot.c.person)
            .where(_live())
            .union(
                select(lead_ask.c.person).where(lead_ask.c.state == "agreed"), select(busy.c.root)
            )
        )
        return sorted(self.unit.run(both).scalars())

    def wrong_busy_days(self, people: Sequence[int]) -> dict[int, tuple[int, int]]:
        """Of these people those whose busy days differ: how many are kept, and how many counted."""
        roots = self._roots(people)
        counted = self._busy_days(roots)
        mine = busy.c.root.in_(set(roots.values()))
        kept = {
            (row.day, row.root): row.events
            for row in self.unit.run(select(busy.c.day, busy.c.root, busy.c.events).where(mine))
        }
        wrong = {
            key[1] for key in kept.keys() | counted.keys() if kept.get(key) != counted.get(key)
        }
        return {
            root: (sum(k[1] == root for k in kept), sum(k[1] == root for k in counted))
            for root in wrong
        }

    def _roots(self, people: Sequence[int]) -> dict[int, int]:
        """Every person who is one of these after merging, with the root."""
        rows = self.unit.run(_merged(), {"people": list(people)})
        return {row.id: row.root for row in rows}

    def overdue_offers(self, at: datetime) -> list[int]:
        """Events that have an offer whose time is over."""
        rows = self.unit.run(
            select(spot.c.event)
            .distinct()
            .where(spot.c.state == "offered", spot.c.offered_until < at)
            .order_by(spot.c.event)
        )
        return list(rows.scalars())


@cache
def _live() -> Any:
    return spot.c.state.in_(LIVE)


@cache
def _spots() -> Select[Any]:
    s, p = spot.c, person.c
    return select(
        s.id, s.event, s.person, func.coalesce(p.root_id, p.id).label("root"), p.name, s.role,
        s.state, s.line_no, s.offered_until, s.changed_at, p.born_on, p.of_age_on, p.household,
        p.phone, s.asked_n,
    ).join(person, p.id == s.person)  # fmt: skip


PEOPLE: BindParameter[Any] = bindparam("people", expanding=True)


@cache
def _merged() -> Select[Any]:
    root = func.coalesce(person.c.root_id, person.c.id)
    wanted = select(root).where(person.c.id.in_(PEOPLE))
    return select(person.c.id, root.label("root")).where(root.in_(wanted))


def _on_events(*columns: Any) -> Any:
    """Spots and agreed roles of `people` as (person, event, columns of the event)."""

    def on(table: Any, states: Collection[str]) -> Select[Any]:
        return (
            select(table.c.person, *columns)
            .join(event, event.c.id == table.c.event)
            .join(site, site.c.id == event.c.site)
            .where(table.c.person.in_(PEOPLE), table.c.state.in_(states))
        )

    return on(spot, LIVE), on(lead_ask, ("agreed",))


@cache
def _stays() -> Any:
    e, s = event.c, site.c
    near = and_(
        e.starts_at < bindparam("until", type_=e.starts_at.type),
        e.ends_at > bindparam("from", type_=e.ends_at.type),
        e.id != bindparam("but"),
        e.stage.in_(("draft", "open", "ready", "under_way")),
        e.date_state == "fixed",
    )
    columns = (
        e.id.label("event"), e.title, e.starts_at, e.ends_at, s.lat, s.lon, s.unpaved,
    )  # fmt: skip
    return union(*(q.where(near) for q in _on_events(*columns)))


@cache
def _days_of() -> Any:
    e = event.c
    columns = (e.id.label("event"), e.day, e.last_day)
    stands = and_(e.stage != "called_off", e.date_state == "fixed")
    return union(*(q.where(stands) for q in _on_events(*columns)))
