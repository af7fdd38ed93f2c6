"""Development only: a person of the demo for each role, the same at every start."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Exists, Select, exists, or_, select

from roster.store.models.events import event, lead_ask, spot
from roster.store.models.people import person, staff_grant
from roster.store.unit import Unit

_STAGES = ("open", "ready", "under_way")


def somebody(unit: Unit, role: str, today: date) -> tuple[int, str] | None:
    """Number and name of a person who is that: coordinator, regional, lead or volunteer."""
    asked = _staff(role, today) if role in ("coordinator", "regional") else _crew(role, today)
    row = unit.run(asked.where(person.c.state == "active").limit(1)).first()
    if row is None and role == "volunteer":
        plain = _person().where(~_has_grant(), person.c.of_age_on <= today)
        row = unit.run(plain.order_by(person.c.id).limit(1)).first()
    return (row.id, row.name) if row else None


def _person() -> Select[tuple[int, str]]:
    return select(person.c.id, person.c.name)


def _staff(role: str, today: date) -> Select[tuple[int, str]]:
    g = staff_grant.c
    whole = g.region.is_(None) if role == "coordinator" else g.region.is_not(None)
    return (
        _person()
        .join(staff_grant, g.person == person.c.id)
        .where(
            g.role == role, whole, g.ended_at.is_(None), g.from_on <= today,
            or_(g.until_on.is_(None), g.until_on > today),
        )
        .order_by(person.c.id)
    )  # fmt: skip


def _crew(role: str, today: date) -> Select[tuple[int, str]]:
    coming = (event.c.stage.in_(_STAGES), event.c.last_day >= today)
    leads = lead_ask.c.person == person.c.id, lead_ask.c.state == "agreed"
    if role == "lead":
        joined = _person().join(lead_ask, leads[0]).join(event, event.c.id == lead_ask.c.event)
        asked = joined.where(leads[1], lead_ask.c.role == "lead")
    else:
        joined = _person().join(spot, spot.c.person == person.c.id)
        joined = joined.join(event, event.c.id == spot.c.event)
        minor = person.c.of_age_on > today
        asked = joined.where(
            spot.c.state == "placed", spot.c.role == "crew_member", ~exists().where(*leads),
            or_(person.c.of_age_on.is_(None), ~minor),
        )  # fmt: skip
    return asked.where(*coming, ~_has_grant()).order_by(event.c.day, event.c.id, person.c.id)


def _has_grant() -> Exists:
    return exists().where(staff_grant.c.person == person.c.id, staff_grant.c.ended_at.is_(None))
