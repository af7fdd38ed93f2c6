"""Who may do what: the actor of a session, and how an actor stands to an object."""

from __future__ import annotations

from roster.domain.errors import NotAllowed, NotFound
from roster.domain.people import ANONYMOUS, Actor
from roster.store.registry import Store
from roster.store.transaction import read


def actor_of_session(token: str | None) -> Actor:
    """The signed-in person of a session cookie, or ANONYMOUS."""
    if not token:
        return ANONYMOUS
    from roster.services import sessions

    return sessions.actor_of(token)


def relations(actor: Actor, kind: str, number: int) -> frozenset[str] | None:
    """How the actor stands to an object (staff, self, crew, lead, duty); None if there is none."""
    return read(lambda store: store.access.relations(actor, kind, number))


def require(store: Store, kind: str, number: int, *wanted: str) -> None:
    """Inside a use case: the re-loaded actor must stand to the object in one of these ways.

    Raises NotFound if there is no such object, NotAllowed otherwise.
    """
    found = store.access.relations(store.unit.actor, kind, number)
    if found is None:
        raise NotFound(kind, number)
    if not found & set(wanted):
        raise NotAllowed(f"{store.unit.actor.name} may not do this to {kind} {number}")


def require_staff(store: Store, region: int | None = None) -> None:
    """The re-loaded actor must be coordinator, or regional coordinator (of that region)."""
    actor = store.unit.actor
    if actor.is_coordinator or (region is None and actor.is_staff) or region in actor.regions:
        return
    raise NotAllowed(f"{actor.name} does not coordinate this region")


def require_coordinator(store: Store) -> None:
    """The re-loaded actor must be the programme's coordinator."""
    if not store.unit.actor.is_coordinator:
        raise NotAllowed(f"{store.unit.actor.name} is not a coordinator of the programme")
