"""The two ways to the database: `read(body)` and `write(body, actor=..., operation=...)`."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from typing import TypeVar
from uuid import UUID

from sqlalchemy.exc import DBAPIError, IntegrityError

from roster.domain.errors import NotAllowed
from roster.domain.people import ANONYMOUS, Actor, ActorKind
from roster.store.base import db
from roster.store.engine import WRITE, writers_queue
from roster.store.errors import as_domain_error, worth_retrying
from roster.store.registry import Store
from roster.store.unit import Unit
from roster.store.wiring import wiring

T = TypeVar("T")
TRIES = 5
_inside: ContextVar[bool] = ContextVar("roster_transaction", default=False)


def read(body: Callable[[Store], T]) -> T:
    """Run `body` in a transaction that cannot write, by the database's word."""
    with _Alone(), db.engine.connect() as connection, connection.begin():
        return body(Store(Unit(connection, ANONYMOUS, wiring().clock.now())))


def write(body: Callable[[Store], T], *, actor: Actor, operation: UUID | str | None = None) -> T:
    """Run `body` in one transaction that commits all or nothing, and give its answer.

    A repeated `operation` of the same actor gets the first answer (plain JSON values) and
    changes nothing. The actor is read anew, so a withdrawn grant no longer counts. The body
    may run again after a lock: it must have no effect outside the store. Raises NotAllowed
    for an actor who has left, Conflict for a broken uniqueness rule.
    """
    with _Alone():
        for attempt in range(TRIES):
            try:
                return _once(body, actor, None if operation is None else str(operation))
            except IntegrityError as error:
                known = as_domain_error(error)
                if known is None:
                    raise
                raise known from error
            except DBAPIError as error:
                if attempt == TRIES - 1 or not worth_retrying(error):
                    raise
        raise AssertionError("unreachable")


def _once(body: Callable[[Store], T], actor: Actor, operation: str | None) -> T:
    engine = db.engine
    with writers_queue(engine), engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            store = Store(Unit(connection, actor, wiring().clock.now()))
            if operation is not None:
                given = store.operations.answer(_key(actor), operation)
                if given is not None:
                    return given[0]  # type: ignore[no-any-return]
            store.unit.actor = _reloaded(store, actor)
            answer = body(store)
            if operation is not None:
                answer = store.operations.keep(_key(actor), operation, answer)
            store.unit.close()
            return answer


def _key(actor: Actor) -> str:
    if actor.person is not None:
        return f"V{actor.person}"
    return f"link:{actor.link}" if actor.kind is ActorKind.LINK else actor.name


def _reloaded(store: Store, actor: Actor) -> Actor:
    if actor.kind is not ActorKind.PERSON or actor.person is None:
        return actor
    fresh = store.access.actor_of(actor.person)
    if fresh is None:
        raise NotAllowed(f"person {actor.person} is no longer active")
    return fresh


class _Alone:
    """A second transaction inside a first is a fault of ours."""

    def __enter__(self) -> None:
        if _inside.get():
            raise RuntimeError("a transaction is already open: hand the store on instead")
        self._token = _inside.set(True)

    def __exit__(self, *_exc: object) -> None:
        _inside.reset(self._token)
