"""The first screen of a person: by what they do in the programme and in the next days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from roster.domain.people import Actor
from roster.services import clock
from roster.store.registry import Store
from roster.store.transaction import read

LEAD_DAYS = 3


@dataclass(frozen=True)
class Screen:
    """A screen by its endpoint and the values of its address."""

    endpoint: str
    values: Mapping[str, Any] = field(default_factory=dict)


def of(actor: Actor) -> Screen:
    """To decide for staff; the field sheet for a lead whose event is near; else My days."""
    if actor.is_staff:
        return Screen("decide.first")
    event = read(lambda store: _event_to_lead(store, actor))
    if event is not None:
        return Screen("fieldsheet.page", {"event_id": event})
    return Screen("days.first")


def _event_to_lead(store: Store, actor: Actor) -> int | None:
    programme = store.programme.the_one()
    today = clock.today(programme.time_zone if programme else "UTC")
    if actor.person is None:
        return None
    return store.access.event_to_lead(actor.person, today, today + timedelta(LEAD_DAYS))
