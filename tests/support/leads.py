"""Leads with a home place, for tests of ranking and asking."""

from __future__ import annotations

from datetime import date

from roster.domain.geo import unit_vector
from roster.domain.people import Role
from roster.store.models.people import away, free_rule, held, knows_taxon, person
from roster.store.registry import Store
from tests.support.crews import act, add_people
from tests.support.land import Land

Place = tuple[float, float]
NEAR, FAR = (46.85, -117.1), (47.6, -118.5)


def a_lead(name: str, home: Place = NEAR, *roles: Role, **said: int) -> int:
    """A lead with a home place; `said` are drive minutes, events a month, weekdays."""
    [number] = add_people(1, Role.LEAD, *roles, name=name)
    x, y, z = unit_vector(*home)

    def body(store: Store) -> None:
        place = {"x": x, "y": y, "z": z}
        store.unit.run(person.update().where(person.c.id == number).values(**place))
        store.unit.run(held.update().where(held.c.root == number).values(**place))
        if said:
            store.unit.run(free_rule.insert().values(person=number, **said))

    act(body)
    return number


def knows(number: int, ground: Land) -> None:
    """The person knows the species of the land."""
    act(lambda s: s.unit.run(knows_taxon.insert().values(person=number, taxon=ground.taxon)))


def is_away(number: int, first: date, until: date) -> None:
    """The person is away on half-open days."""
    values = {"person": number, "from_on": first, "until_on": until}
    act(lambda s: s.unit.run(away.insert().values(**values)))
