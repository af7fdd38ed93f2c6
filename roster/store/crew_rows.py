"""What the crew check reads about people: clearance of the day, guardians, experience."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import func, or_, select

from roster.domain.people import Role
from roster.store.models.events import event, event_population, lead_ask, spot
from roster.store.models.land import population
from roster.store.models.people import emergency_contact, guardian, held, person
from roster.store.models.programme import taxon
from roster.store.unit import Unit


@dataclass(frozen=True)
class PersonRow:
    """A person as a sign-up needs them; `root` is the person after merging."""

    id: int
    root: int
    name: str
    born_on: date | None
    of_age_on: date | None
    x: float | None
    y: float | None
    z: float | None


@dataclass(frozen=True)
class ContactRow:
    """Whom to call for a person in an emergency."""

    person: int
    name: str
    phone: str
    relation: str


class CrewRows:
    """Facts about many people at a time, one statement each."""

    unit: Unit

    def person(self, who: int) -> PersonRow | None:
        """An active person, or None."""
        p = person.c
        row = self.unit.run(
            select(
                p.id, func.coalesce(p.root_id, p.id).label("root"), p.name, p.born_on,
                p.of_age_on, p.x, p.y, p.z,
            ).where(p.id == who, p.state == "active")
        ).one_or_none()  # fmt: skip
        return None if row is None else PersonRow(**row._mapping)

    def cleared_on(self, roots: Collection[int], day: date) -> dict[int, dict[Role, date | None]]:
        """For each root the roles cleared on a day, each with its last valid day (None: open)."""
        h = held.c
        rows = self.unit.run(
            select(h.root, h.role, h.until_on).where(
                h.root.in_(roots), h.from_on <= day, or_(h.until_on.is_(None), h.until_on > day)
            )
        )
        found: dict[int, dict[Role, date | None]] = {root: {} for root in roots}
        for row in rows:
            last = None if row.until_on is None else row.until_on - timedelta(days=1)
            found[row.root][Role(row.role)] = last
        return found

    def spans_of(self, root: int) -> dict[Role, list[tuple[date, date | None]]]:
        """The days on which a person is cleared, by role, half-open (None: open)."""
        h = held.c
        rows = self.unit.run(
            select(h.role, h.from_on, h.until_on).where(h.root == root).order_by(h.from_on)
        )
        found: dict[Role, list[tuple[date, date | None]]] = {}
        for row in rows:
            found.setdefault(Role(row.role), []).append((row.from_on, row.until_on))
        return found

    def guardians_of(self, people: Collection[int], day: date) -> dict[int, frozenset[int]]:
        """For each of these people their guardians on a day, as numbers of persons.

        A guardian who is not a person of the programme has a negative number of their own.
        """
        g = guardian.c
        rows = self.unit.run(
            select(g.person, g.id, g.guardian_person).where(
                g.person.in_(people), g.from_on <= day, or_(g.until_on.is_(None), g.until_on > day)
            )
        )
        found: dict[int, set[int]] = {who: set() for who in people}
        for row in rows:
            found[row.person].add(row.guardian_person or -row.id)
        return {who: frozenset(them) for who, them in found.items()}

    def contacts_of(self, people: Collection[int]) -> list[ContactRow]:
        """The emergency contacts of these people; the caller keeps on record who looked."""
        c = emergency_contact.c
        rows = self.unit.run(
            select(c.person, c.name, c.phone, c.relation)
            .where(c.person.in_(people))
            .order_by(c.person, c.id)
        )
        return [ContactRow(**row._mapping) for row in rows]

    def led_before(self, people: Collection[int], but: int) -> dict[int, int]:
        """How many field events each of these people has led to the end."""
        rows = self.unit.run(
            select(lead_ask.c.person, func.count().label("n"))
            .join(event, event.c.id == lead_ask.c.event)
            .where(
                lead_ask.c.person.in_(people),
                lead_ask.c.role == "lead",
                lead_ask.c.state == "agreed",
                event.c.stage == "done",
                event.c.kind.in_(("collecting", "site_check")),
                event.c.id != but,
            )
            .group_by(lead_ask.c.person)
        )
        return {row.person: row.n for row in rows}

    def look_alikes(self, number: int) -> list[str]:
        """Plants that can poison and look like those of an event, as their species say."""
        rows = self.unit.run(
            select(taxon.c.look_alike_poisonous)
            .distinct()
            .join(population, population.c.taxon == taxon.c.id)
            .join(event_population, event_population.c.population == population.c.id)
            .where(
                event_population.c.event == number,
                taxon.c.look_alike_poisonous.is_not(None),
                taxon.c.look_alike_poisonous != "",
            )
            .order_by(taxon.c.look_alike_poisonous)
        )
        return list(rows.scalars())

    def events_not_over(self) -> list[int]:
        """Every event that is not done or called off, by number."""
        rows = self.unit.run(
            select(event.c.id)
            .where(event.c.stage.in_(("draft", "open", "ready", "under_way")))
            .order_by(event.c.id)
        )
        return list(rows.scalars())

    def events_to_check(self, people: Collection[int]) -> list[int]:
        """Events that are not over on which these people hold or wait for a spot, or agreed."""
        alive = event.c.stage.in_(("draft", "open", "ready", "under_way"))
        spots = (
            select(spot.c.event)
            .join(event, event.c.id == spot.c.event)
            .where(
                spot.c.person.in_(people),
                spot.c.state.in_(("offered", "placed", "waiting", "came")),
                alive,
            )
        )
        asks = (
            select(lead_ask.c.event)
            .join(event, event.c.id == lead_ask.c.event)
            .where(lead_ask.c.person.in_(people), lead_ask.c.state == "agreed", alive)
        )
        return sorted(set(self.unit.run(spots.union(asks)).scalars()))
