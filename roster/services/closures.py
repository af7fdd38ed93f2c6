"""Use cases of closures: record one, lift it; every event that it touches is checked again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from json import dumps

from roster.domain.closures import Closure
from roster.domain.errors import NotFound, RuleBroken
from roster.domain.land import Point
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.services import checks, crewcheck
from roster.services.access import require, require_staff
from roster.store.registry import Store
from roster.store.transaction import write


@dataclass(frozen=True)
class NewClosure:
    """A closure to record: exactly one of area, site, road; no end means until lifted."""

    name: str
    from_at: datetime
    until_at: datetime | None = None
    area: tuple[Point, ...] = ()
    site: int | None = None
    road: str = ""
    order_no: str = ""
    link: str = ""
    checked_on: date | None = None


def add_closure(actor: Actor, new: NewClosure, operation: str | None = None) -> int:
    """A closure; every event that it touches is checked again. Gives its number."""
    told = checks.text("name", new.name)
    rule = Closure(0, told, new.from_at, new.until_at, new.area, new.site, new.road.strip())
    values = {
        "kind": "road" if rule.road else "area" if rule.area else "site",
        "name": told,
        "polygon": dumps([list(point) for point in new.area]) if new.area else None,
        "site": new.site,
        "road": rule.road or None,
        "from_at": new.from_at,
        "until_at": new.until_at,
        "order_no": checks.text("order_no", new.order_no, needed=False),
        "link": checks.text("link", new.link, most=500, needed=False),
        "checked_on": new.checked_on,
    }

    def body(store: Store) -> int:
        require_staff(store)
        if new.site is not None:
            require(store, "site", new.site, "staff")
        number = store.places.add_closure(**values)
        store.unit.note("recorded", "closure", number, after={"name": told})
        check_events(store, store.events.open_between(new.from_at, new.until_at))
        return number

    return write(body, actor=actor, operation=operation)


def lift_closure(actor: Actor, site: int, number: int, operation: str | None = None) -> int:
    """A closure that covers a site ends now; the events it held are checked again, none is revived.

    For staff of the site's region. The row is never changed: it is ended, and one with an end
    stands in its place. Gives the new row's number, 0 if the closure had not begun.
    """

    def body(store: Store) -> int:
        require(store, "site", site, "staff")
        row = store.places.closure_row(number)
        covers = store.places.closure(number)
        if row is None or covers is None or not covers.covers(store.places.site(site).site):
            raise NotFound("closure", number)
        start, until = row["from_at"], row["until_at"]
        if until is not None and until <= store.unit.at:
            raise RuleBroken([Reason("closure_is_over", {"closure": number, "until_at": until})])
        store.places.end_closure(number, "lifted")
        fresh = 0
        if start < store.unit.at:
            fresh = store.places.add_closure(**(row | {"until_at": store.unit.at}))
        store.unit.note("lifted", "closure", number, after={"name": row["name"]})
        check_events(store, store.events.open_between(start, until))
        return fresh

    return write(body, actor=actor, operation=operation)


def check_events(store: Store, events: Sequence[int]) -> None:
    """Check each of these events again, after the land under them changed."""
    for event in events:
        crewcheck.refresh(store, event)
