"""Development only: a way in for each of four people of the demo, without mail."""

from __future__ import annotations

from dataclasses import dataclass

from roster.domain.errors import NotFound
from roster.domain.people import ANONYMOUS
from roster.services import clock, sessions, tokens
from roster.store.registry import Store
from roster.store.somebody import somebody
from roster.store.transaction import read, write
from roster.store.wiring import wiring

ROLES = ("coordinator", "regional", "lead", "volunteer")
_SIGNS = 12


@dataclass(frozen=True)
class EnterCode:
    """Who may be entered as: role, person, the code, the path that leads in."""

    role: str
    person: int
    name: str
    code: str

    @property
    def path(self) -> str:
        """The path on this service."""
        return f"/enter/{self.code}"


def enter_codes() -> list[EnterCode]:
    """One way in for each role that somebody holds; an empty list outside development."""
    if not wiring().config.development:
        return []
    today = clock.now().date()

    def body(store: Store) -> list[EnterCode]:
        found = ((role, somebody(store.unit, role, today)) for role in ROLES)
        return [EnterCode(r, who[0], who[1], _code(r, who[0])) for r, who in found if who]

    return read(body)


def known(code: str) -> EnterCode:
    """Whom a code stands for. Raises NotFound outside development or for a code not ours."""
    role, person = _read(code)

    def body(store: Store) -> EnterCode:
        actor = store.access.actor_of(person)
        if actor is None:
            raise NotFound("page", code)
        return EnterCode(role, person, actor.name, code)

    return read(body)


def enter(code: str, device: str) -> str:
    """A session as that person; gives the session's secret."""
    person = known(code).person
    return write(lambda store: sessions.make(store, person, "enter", device), actor=ANONYMOUS)


def _code(role: str, person: int) -> str:
    secret = tokens.token(f"enter {role}", person).rpartition("-")[2]
    return f"{role}-{person}-{secret[:_SIGNS]}"


def _read(code: str) -> tuple[str, int]:
    role, _dash, rest = code.partition("-")
    number = rest.partition("-")[0]
    ours = wiring().config.development and role in ROLES and number.isascii() and number.isdigit()
    if not ours or len(number) > 18 or not tokens.same(_code(role, int(number)), code):
        raise NotFound("page", code)
    return role, int(number)
