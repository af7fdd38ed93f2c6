"""Sessions: a browser that is signed in, from when, until when."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from roster.domain.people import ANONYMOUS, Actor
from roster.services.clock import machine_now
from roster.store.registry import Store
from roster.store.sessions import SessionRow, seen
from roster.store.transaction import read, write

NOTED_EVERY = timedelta(minutes=5)


@dataclass(frozen=True)
class Limits:
    """How long a session lasts unused, and at all."""

    idle: timedelta
    whole: timedelta


# Our own choice after OWASP ASVS 5.0, 7.3: who staffs events is asked again each day.
VOLUNTEER = Limits(timedelta(days=30), timedelta(days=90))
STAFF = Limits(timedelta(hours=2), timedelta(hours=12))
DEVELOPMENT = Limits(timedelta(days=7), timedelta(days=7))


def limits_for(actor: Actor, factor: str) -> Limits:
    """The limits of an actor's session; one made by /enter lasts a week (development only)."""
    if factor == "enter":
        return DEVELOPMENT
    return STAFF if actor.is_staff else VOLUNTEER


def actor_of(token: str) -> Actor:
    """Who a session cookie stands for; ANONYMOUS if it is unknown or over."""
    hashed, at = hash_of(token), machine_now()
    actor, row = read(lambda store: _actor_and_row(store, hashed, at))
    if row is not None and at - row.seen_at > NOTED_EVERY:
        seen(hashed, at)
    return actor


def _actor_and_row(store: Store, hashed: str, at: datetime) -> tuple[Actor, SessionRow | None]:
    row = store.sessions.find(hashed)
    actor = store.access.actor_of(row.person) if row else None
    if row is None or actor is None or not _holds(row, actor, at):
        return ANONYMOUS, None
    return actor, row


def _holds(row: SessionRow, actor: Actor, at: datetime) -> bool:
    limits = limits_for(actor, row.factor)
    ends = min(row.until, row.made_at + limits.whole, row.seen_at + limits.idle)
    return at < ends


def make(store: Store, person: int, factor: str, device: str) -> str:
    """A new session in the transaction at hand; gives the secret for the cookie.

    factor: link, code or enter. The secret has 256 bits; only its SHA-256 is kept.
    """
    token, at = secrets.token_urlsafe(32), machine_now()
    actor = store.access.actor_of(person) or ANONYMOUS
    until = at + limits_for(actor, factor).whole
    store.sessions.add(hash_of(token), SessionRow(person, at, at, until, factor, device[:120]))
    return token


def sign_out(token: str) -> None:
    """End the session of this browser."""
    write(lambda store: store.sessions.drop(hash_of(token)), actor=ANONYMOUS)


def sign_out_everywhere(actor: Actor) -> int:
    """End every session of the actor; gives how many there were."""
    person = actor.person
    return write(lambda store: store.sessions.drop_all_of(person) if person else 0, actor=actor)


def sweep_in(store: Store) -> int:
    """Take away sessions and sign-ins that are over; gives how many rows went."""
    at = machine_now()
    return store.sessions.sweep(at, at - timedelta(days=1))


def hash_of(token: str) -> str:
    """What the database keeps of a secret."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
