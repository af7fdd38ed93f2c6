"""Events: one by number, locked or not; their revisions and populations."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import Select, func, select, union, update

from roster.domain.errors import NotFound
from roster.domain.events import DateState, Event, EventKind, Outcome, Stage
from roster.store.event_lists import EventLists
from roster.store.event_values import EventRow
from roster.store.models.events import (
    event,
    event_population,
    event_revision,
    lead_ask,
    override,
    spot,
)
from roster.store.models.land import site
from roster.store.models.people import person
from roster.store.models.programme import region
from roster.store.rows import made
from roster.store.trial_rows import TrialRows
from roster.store.unit import Unit
from roster.store.window_rows import WindowRows

_DOMAIN = (
    event.c.id,
    event.c.kind,
    event.c.stage,
    event.c.date_state,
    event.c.local_start,
    event.c.local_end,
    event.c.time_zone,
    event.c.starts_at,
    event.c.ends_at,
    event.c.site,
    event.c.region,
    event.c.capacity,
    event.c.taken,
    event.c.minimum_crew,
    event.c.outcome,
    event.c.duty_person,
    event.c.stand_in,
    event.c.n,
    event.c.sequence,
)
_ONE = select(*_DOMAIN)


class Events(EventLists, WindowRows, TrialRows):
    """Events one by one; lists stand in `EventLists`."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def get(self, number: int) -> Event:
        """The event as the rules know it; NotFound if there is none."""
        return self._event(_ONE.where(event.c.id == number), number)

    def locked(self, number: int) -> Event:
        """The same, held against others until the transaction ends; NotFound if there is none."""
        return self._event(_ONE.where(event.c.id == number).with_for_update(), number)

    def _event(self, query: Select[Any], number: int) -> Event:
        row = self.unit.run(query).one_or_none()
        if row is None:
            raise NotFound("event", number)
        return Event(
            id=row.id,
            kind=EventKind(row.kind),
            stage=Stage(row.stage),
            date_state=DateState(row.date_state),
            local_start=row.local_start,
            local_end=row.local_end,
            time_zone=row.time_zone,
            starts_at=row.starts_at,
            ends_at=row.ends_at,
            site=row.site,
            region=row.region,
            capacity=row.capacity,
            taken=row.taken,
            minimum_crew=row.minimum_crew,
            outcome=Outcome(row.outcome) if row.outcome else None,
            duty_person=row.duty_person,
            stand_in=row.stand_in,
            n=row.n,
            sequence=row.sequence,
        )

    def row(self, number: int) -> EventRow:
        """The event with the names around it, for its page; NotFound if there is none."""
        found = self.unit.run(_row_query().where(event.c.id == number)).one_or_none()
        if found is None:
            raise NotFound("event", number)
        return made(EventRow, found)

    def add(self, populations: Sequence[int], days: Sequence[date], **values: Any) -> int:
        """A new event with its populations in order and its possible days; gives its number."""
        number = self.unit.insert(event, **values)
        self.set_populations(number, populations)
        self.set_possible_days(number, days)
        return number

    def set_populations(self, number: int, populations: Sequence[int]) -> None:
        """The populations of an event, in this order, in place of the old ones."""
        self.unit.run(event_population.delete().where(event_population.c.event == number))
        rows = [
            {"event": number, "population": p, "ordinal": i}
            for i, p in enumerate(dict.fromkeys(populations), 1)
        ]
        if rows:
            self.unit.run(event_population.insert(), rows)

    def change(self, number: int, **columns: Any) -> None:
        """Set columns of an event; the caller has it locked and writes the journal row."""
        self.unit.run(update(event).where(event.c.id == number).values(**columns))

    def set_stage(self, number: int, stage: Stage, **columns: Any) -> None:
        """Bring an event to a stage, with what belongs to it (outcome, begun_at, why)."""
        self.change(number, stage=stage.value, **columns)

    def revise(self, number: int, why: str) -> int:
        """Keep the event as it now is under its next number; gives that number.

        The calendar sequence is the number less one, so that the first is 0 (RFC 5545, 3.8.7.4).
        """
        row = self.row(number)
        n = row.n + 1
        self.unit.run(
            event_revision.insert().values(
                event=number,
                n=n,
                sequence=n - 1,
                stage=row.stage,
                date_state=row.date_state,
                local_start=row.local_start,
                local_end=row.local_end,
                time_zone=row.time_zone,
                starts_at=row.starts_at,
                ends_at=row.ends_at,
                title=row.title,
                place=row.site_name,
                meeting=row.meeting,
                why=why,
                at=self.unit.at,
            )
        )
        self.change(number, n=n, sequence=n - 1)
        return n

    def add_override(self, number: int, rule: str, reason: str, fact: str = "") -> int:
        """Somebody answers for one stop of an event, with a reason."""
        return self.unit.insert(
            override,
            event=number,
            rule=rule,
            fact=fact,
            reason=reason,
            by=self.unit.actor.person,
            at=self.unit.at,
        )

    def overrides(self, number: int) -> list[tuple[str, str, int | None]]:
        """Rule, reason and who answered, oldest first."""
        o = override.c
        rows = self.unit.run(select(o.rule, o.reason, o.by).where(o.event == number).order_by(o.id))
        return [(row.rule, row.reason, row.by) for row in rows]

    def people_on(self, number: int) -> set[int]:
        """Everybody who holds or waits for a spot, or agreed to a role."""
        spots = select(spot.c.person).where(spot.c.event == number, spot.c.state != "withdrawn")
        asked = select(lead_ask.c.person).where(
            lead_ask.c.event == number, lead_ask.c.state == "agreed"
        )
        return set(self.unit.run(union(spots, asked)).scalars())

    def highest(self) -> int:
        """The highest event number so far, 0 before the first."""
        return int(self.unit.run(select(func.coalesce(func.max(event.c.id), 0))).scalar_one())


@cache
def _row_query() -> Select[Any]:
    duty, stand_in = person.alias("duty"), person.alias("stand_in_person")
    own = [c for c in event.c if c.name not in ("series", "plan", "made_at")]
    return (
        select(
            *own,
            site.c.name.label("site_name"),
            site.c.walk_out_minutes,
            site.c.minutes_to_signal,
            region.c.name.label("region_name"),
            duty.c.name.label("duty_name"),
            duty.c.phone.label("duty_phone"),
            stand_in.c.name.label("stand_in_name"),
            stand_in.c.phone.label("stand_in_phone"),
        )
        .join(site, site.c.id == event.c.site)
        .join(region, region.c.id == event.c.region)
        .outerjoin(duty, duty.c.id == event.c.duty_person)
        .outerjoin(stand_in, stand_in.c.id == event.c.stand_in)
    )
