"""Who the actor is now, and how the actor stands to an event or a person."""

from __future__ import annotations

from datetime import UTC, date
from zoneinfo import ZoneInfo

from sqlalchemy import and_, or_, select

from roster.domain.people import Actor, ActorKind, Grant, StaffRole
from roster.store.models.events import event, lead_ask, spot
from roster.store.models.land import site_region
from roster.store.models.people import person, person_region, staff_grant
from roster.store.models.programme import programme
from roster.store.unit import Unit


class Access:
    """Reads actors and relations; sessions and links stand in their own repositories."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def actor_of(self, number: int) -> Actor | None:
        """The person as an actor with the grants in force today; None if not active."""
        row = self.unit.run(
            select(person.c.id, person.c.name, person.c.language, programme.c.time_zone)
            .select_from(person.outerjoin(programme, programme.c.id > 0))
            .where(person.c.id == number, person.c.state.in_(("active", "paused")))
            .limit(1)
        ).one_or_none()
        if row is None:
            return None
        zone = ZoneInfo(row.time_zone) if row.time_zone else UTC
        grants = self._grants(number, self.unit.at.astimezone(zone).date())
        return Actor(ActorKind.PERSON, row.name, row.id, grants, language=row.language)

    def _grants(self, number: int, day: date) -> tuple[Grant, ...]:
        g = staff_grant.c
        rows = self.unit.run(
            select(g.role, g.region, g.from_on, g.until_on).where(
                g.person == number,
                g.ended_at.is_(None),
                g.from_on <= day,
                or_(g.until_on.is_(None), g.until_on > day),
            )
        )
        return tuple(Grant(StaffRole(r.role), r.region, r.from_on, r.until_on) for r in rows)

    def event_to_lead(self, number: int, first: date, last: date) -> int | None:
        """The next event between two days (both inclusive) that the person agreed to lead."""
        found = self.unit.run(
            select(event.c.id)
            .join(lead_ask, lead_ask.c.event == event.c.id)
            .where(
                lead_ask.c.person == number,
                lead_ask.c.role == "lead",
                lead_ask.c.state == "agreed",
                event.c.stage.in_(("open", "ready", "under_way")),
                event.c.day <= last,
                event.c.last_day >= first,
            )
            .order_by(event.c.starts_at, event.c.id)
            .limit(1)
        ).scalar()
        return None if found is None else int(found)

    def relations(self, actor: Actor, kind: str, number: int) -> frozenset[str] | None:
        """How the actor stands to one object, or None when there is no such object.

        Kinds: event, person, site, region. Words: staff, self, crew, lead, duty.
        """
        return getattr(self, f"_to_{kind}")(actor, number)  # type: ignore[no-any-return]

    def _to_event(self, actor: Actor, number: int) -> frozenset[str] | None:
        row = self.unit.run(
            select(event.c.region, event.c.duty_person, event.c.stand_in).where(
                event.c.id == number
            )
        ).one_or_none()
        if row is None:
            return None
        found = self._staff(actor, row.region)
        if actor.person is None:
            return frozenset(found)
        if actor.person in (row.duty_person, row.stand_in):
            found.add("duty")
        agreed = self.unit.run(
            select(lead_ask.c.role).where(
                lead_ask.c.event == number,
                lead_ask.c.person == actor.person,
                lead_ask.c.state == "agreed",
            )
        ).scalars()
        found.update("lead" for _ in agreed)
        role = self.unit.run(
            select(spot.c.role).where(
                spot.c.event == number,
                spot.c.person == actor.person,
                spot.c.state.in_(("placed", "came")),
            )
        ).scalar()
        if role is not None:
            found.add("crew")
        if role in ("lead", "data_collector"):
            found.add("lead")
        return frozenset(found)

    def _to_person(self, actor: Actor, number: int) -> frozenset[str] | None:
        regions = self.unit.run(
            select(person.c.id, person_region.c.region)
            .select_from(
                person.outerjoin(
                    person_region,
                    and_(
                        person_region.c.person == person.c.id,
                        person_region.c.ended_at.is_(None),
                        person_region.c.until_on.is_(None),
                    ),
                )
            )
            .where(person.c.id == number)
        ).all()
        if not regions:
            return None
        found: set[str] = set()
        for row in regions:
            found |= self._staff(actor, row.region)
        if actor.person == number:
            found.add("self")
        return frozenset(found)

    def _to_site(self, actor: Actor, number: int) -> frozenset[str] | None:
        region = self.unit.run(
            select(site_region.c.region).where(
                site_region.c.site == number, site_region.c.until_on.is_(None)
            )
        ).scalar()
        return None if region is None else frozenset(self._staff(actor, region))

    def _to_region(self, actor: Actor, number: int) -> frozenset[str] | None:
        return frozenset(self._staff(actor, number))

    @staticmethod
    def _staff(actor: Actor, region: int | None) -> set[str]:
        mine = actor.is_coordinator or (region is not None and region in actor.regions)
        return {"staff"} if mine else set()
