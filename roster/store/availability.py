"""What people said of their time: free weekdays, days away, drive, months, species known."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import delete, select

from roster.domain.availability import Availability, Away
from roster.store.models.people import away, free_rule, knows_taxon
from roster.store.unit import Unit


class Availabilities:
    """Read and written whole, one person at a time; lists of leads read the tables themselves."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def of(self, root: int) -> Availability:
        """What a person said, or what holds of somebody who said nothing."""
        rule = self.unit.run(select(free_rule).where(free_rule.c.person == root)).one_or_none()
        times = self.unit.run(
            select(away.c.from_on, away.c.until_on)
            .where(away.c.person == root)
            .order_by(away.c.from_on, away.c.id)
        )
        known = self.unit.run(select(knows_taxon.c.taxon).where(knows_taxon.c.person == root))
        nothing = Availability()
        return Availability(
            rule.weekdays if rule else nothing.weekdays,
            rule.minutes_drive if rule else nothing.minutes_drive,
            rule.per_month if rule else nothing.per_month,
            tuple(Away(row.from_on, row.until_on - timedelta(days=1)) for row in times),
            frozenset(known.scalars()),
        )

    def put(self, root: int, said: Availability) -> None:
        """This in place of all that was said before."""
        for table in (free_rule, away, knows_taxon):
            self.unit.run(delete(table).where(table.c.person == root))
        self.unit.run(
            free_rule.insert().values(
                person=root,
                weekdays=said.weekdays,
                minutes_drive=said.minutes_drive,
                per_month=said.per_month,
            )
        )
        self.unit.insert_many(
            away,
            [
                {"person": root, "from_on": a.from_on, "until_on": a.last_day + timedelta(days=1)}
                for a in said.away
            ],
        )
        if said.taxa:
            rows = [{"person": root, "taxon": taxon} for taxon in sorted(said.taxa)]
            self.unit.run(knows_taxon.insert(), rows)
