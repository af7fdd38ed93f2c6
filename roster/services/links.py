"""Mailed links: whoever holds the address may do one thing to one object, until an instant."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from roster.domain.errors import BadInput, NotFound
from roster.domain.people import Actor, ActorKind
from roster.domain.reasons import Reason
from roster.services import tokens
from roster.services.access import require_staff
from roster.services.clock import machine_now
from roster.store.links import Link
from roster.store.registry import Store
from roster.store.transaction import read, write

PURPOSES = (
    "guardian_consent",
    "answer_lead",
    "answer_offer",
    "answer_move",
    "seen",
    "confirm_address",
    "unsubscribe",
)


@dataclass(frozen=True)
class Holder:
    """For whom a link is made: a person, or a guardian of one."""

    person: int | None = None
    guardian: int | None = None


NOBODY = Holder()


def make(
    store: Store,
    purpose: str,
    about: tuple[str, int],
    until: datetime,
    holder: Holder = NOBODY,
) -> Link:
    """A new link to one object, e.g. ("event", 418), with its row in the journal."""
    if purpose not in PURPOSES:
        raise ValueError(f"no such purpose of a link: {purpose}")
    whom = {"person": holder.person, "guardian": holder.guardian}
    made = store.links.add(purpose, about, until=until, **whom)
    store.unit.note("make_link", about[0], about[1], after={"link": made.id, "purpose": purpose})
    return made


def path(link: Link) -> str:
    """The path of a link on this service; it is its secret: mail it, never log it."""
    return f"/l/{tokens.token(_purpose(link), link.id, link.generation)}"


def path_of(store: Store, number: int) -> str:
    """The path of the link with that number. NotFound if there is none."""
    found = store.links.get(number)
    if found is None:
        raise NotFound("link", number)
    return path(found)


def opened(token: str, purpose: str | None = None) -> Link:
    """The link of a token; BadInput (`link_dead`) if it is not ours, over, or taken back."""
    return read(lambda store: find(store, token, purpose))


def find(store: Store, token: str, purpose: str | None = None) -> Link:
    """The link of a token, in the transaction at hand; the same answers as `opened`."""
    found = store.links.get(tokens.number_in(token) or 0)
    right = tokens.is_right(
        _purpose(found) if found else "link", token, found.generation if found else None
    )
    fits = found is not None and purpose in (None, found.purpose)
    if found is None or not right or not fits or not found.is_good_at(machine_now()):
        raise BadInput("link", "", Reason("link_dead"))
    return found


def actor_of(link: Link) -> Actor:
    """Who acts by a link: nobody's account, only this link."""
    return Actor(ActorKind.LINK, f"link:{link.id}", link=link.id)


def use(store: Store, link: Link) -> None:
    """Spend a link that serves once; BadInput (`link_used`) if it was used before."""
    if not store.links.use(link.id):
        raise BadInput("link", "", Reason("link_used"))


def revoke(actor: Actor, number: int) -> bool:
    """Take a link back; False if it was taken back before. For who coordinates."""

    def body(store: Store) -> bool:
        require_staff(store)
        found = store.links.get(number)
        if found is None:
            raise NotFound("link", number)
        store.unit.note("revoke_link", found.object_kind, found.object_id, after={"link": number})
        return store.links.revoke(number)

    return write(body, actor=actor)


def _purpose(link: Link) -> str:
    return f"link {link.purpose}"
