"""Whether a database holds real people: everybody of a demonstration lives at example.org."""

from __future__ import annotations

from sqlalchemy import func, select

from roster.store.models.people import guardian, person, person_address
from roster.store.unit import Unit

INVENTED = "%@example.org"


def people(unit: Unit) -> int:
    """How many people are on record."""
    return int(unit.run(select(func.count()).select_from(person)).scalar_one())


def strangers(unit: Unit) -> int:
    """How many addresses of people and guardians are not invented ones."""
    counts = (
        select(func.count()).where(person_address.c.key.not_like(INVENTED)),
        select(func.count()).where(func.lower(guardian.c.address).not_like(INVENTED)),
    )
    return sum(int(unit.run(one).scalar_one()) for one in counts)
