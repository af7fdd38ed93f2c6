"""What the rules of spots read: the openings of an event, and each wish with its verdict."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from roster.domain.clearance import verdict
from roster.domain.errors import NotFound
from roster.domain.events import Event
from roster.domain.people import Role
from roster.domain.reasons import Reason
from roster.domain.spots import Openings, OtherStay, SpotState, Wish, kept_roles
from roster.services import landcheck
from roster.services.crew_facts import Place, Standing, minor_at, standings
from roster.store.places import SiteRow
from roster.store.registry import Store
from roster.store.spot_values import SpotRow


@dataclass(frozen=True)
class Asking:
    """Somebody who asks for a spot in a role; `spot` is what they have on the event so far."""

    person: int
    root: int
    name: str
    born_on: date | None
    of_age_on: date | None
    role: Role
    spot: SpotRow | None = None


def asking(store: Store, event_id: int, person: int, role: Role) -> Asking:
    """An active person who asks for a spot; NotFound if there is none."""
    row = store.spots.person(person)
    if row is None:
        raise NotFound("person", person)
    spot = store.spots.one(event_id, person)
    return Asking(row.id, row.root, row.name, row.born_on, row.of_age_on, role, spot)


def of_spot(row: SpotRow) -> Asking:
    """Somebody who has a spot or waits for one, in the role asked for."""
    return Asking(row.person, row.root, row.name, row.born_on, row.of_age_on, row.as_role, row)


def openings(store: Store, event: Event) -> Openings:
    """The spots of a locked event as they are now."""
    seated = [Role(r) for r in store.spots.live_roles(event.id)]
    return Openings(
        event.id,
        event.stage,
        event.is_fixed,
        event.starts_at,
        event.ends_at,
        event.capacity,
        len(seated),
        kept_roles(event.kind, seated),
        landcheck.most_people_in(store, event),
    )


def wish(store: Store, event: Event, one: Asking) -> Wish:
    """The wish of one person."""
    return wishes(store, event, [one])[0]


def wishes(store: Store, event: Event, people: Sequence[Asking]) -> list[Wish]:
    """The wishes of these people with their verdicts for the event's day, in the same order."""
    if not people:
        return []
    site = store.places.site(event.site)
    at = _place(store, event, site, people)
    stands = standings(store, people, at)
    others = _others(store, event, site, people)
    reasons = _reasons(store, event, people, stands, at)
    return [
        Wish(
            person=p.person,
            name=p.name,
            role=p.role,
            cleared=_may(event, p, stands[p.root]),
            reasons=reasons.get(p.person, ()),
            is_minor=stands[p.root].is_minor,
            guardian_yes=stands[p.root].guardian_yes,
            state=SpotState(p.spot.state) if p.spot else None,
            others=others.get(p.person, ()),
        )
        for p in people
    ]


def _may(event: Event, one: Asking, standing: Standing) -> bool:
    """A training or a meeting is for everybody, also for who is not cleared yet."""
    return not event.kind.in_the_field or one.role in standing.cleared


def _place(store: Store, event: Event, site: SiteRow, people: Sequence[Asking]) -> Place:
    day = event.first_day
    minors = [p for p in people if minor_at(p, day, site.majority_age)]
    if not minors:
        return Place(day, site)
    live = [s for s in store.spots.of_event(event.id) if s.is_live]
    present = {s.person for s in live} | {s.root for s in live}
    guardians = store.spots.guardians_of([p.person for p in minors], day)
    along = frozenset(p.root for p in minors if guardians[p.person] & present)
    return Place(day, site, accompanied=along)


def _others(
    store: Store, event: Event, site: SiteRow, people: Sequence[Asking]
) -> dict[int, tuple[OtherStay, ...]]:
    found: dict[int, tuple[OtherStay, ...]] = {}
    if not event.is_fixed:
        return found
    numbers = [p.person for p in people]
    for stay in store.spots.others_of(numbers, event.starts_at, event.ends_at, event.id):
        mine = found.get(stay.person, ())
        found[stay.person] = (*mine, stay.seen_from(site.lat, site.lon))
    return found


def _reasons(
    store: Store,
    event: Event,
    people: Sequence[Asking],
    stands: Mapping[int, Standing],
    at: Place,
) -> dict[int, tuple[Reason, ...]]:
    """Why those who may not come may not, by person; facts are read for them alone."""
    lacking = [p for p in people if not _may(event, p, stands[p.root])]
    facts = store.facts.of_many({p.root for p in lacking}) if lacking else {}
    return {
        p.person: verdict(
            facts[p.root], p.role, at.day, guardian_there=p.root in at.accompanied
        ).reasons
        for p in lacking
        if p.root in facts
    }
