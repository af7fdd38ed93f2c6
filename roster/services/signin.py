"""Signing in: a mail with a link and a code, good for ten minutes, in the browser that asked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from roster.domain.errors import BadInput
from roster.domain.people import ANONYMOUS
from roster.domain.reasons import Reason
from roster.services import clock, limits, sessions, tokens
from roster.services.clock import machine_now
from roster.services.enter import enter_codes
from roster.store.registry import Store
from roster.store.sessions import SignInRow
from roster.store.transaction import read, write

__all__ = [
    "MINUTES",
    "Browser",
    "Letter",
    "ask",
    "asked_until",
    "by_code",
    "by_link",
    "enter_codes",
    "letter",
]

MINUTES = 10  # OWASP ASVS 5.0, 6.5.5
TRIES = 5
_PURPOSE = "sign_in"
_ADDRESS = re.compile(r"[^\s@<>\"(),:;\\\x00-\x1f\x7f]+@[A-Za-z0-9.-]+")
_MAILS_TO_ONE, _MAILS_AT_ALL, _HOUR = 5, 600, 3600


@dataclass(frozen=True)
class Browser:
    """The browser that asks: its secret (a cookie), what it calls itself, its network block."""

    secret: str
    device: str = ""
    block: str = ""


def ask(address: str, browser: Browser) -> datetime:
    """Send a link and a code to the address if it is somebody's; gives until when they are good.

    The answer is the same whoever the address belongs to. BadInput if it is not an address.
    """
    told = address.strip()
    if len(told) > 254 or not _ADDRESS.fullmatch(told):
        raise BadInput("address", address, Reason("address_malformed", {"value": address[:254]}))
    key = told.casefold()
    allowed = limits.within("sign-in-mail", f"{key}|{browser.block}", _MAILS_TO_ONE, _HOUR)
    allowed = limits.within("sign-in-mails", "all", _MAILS_AT_ALL, _HOUR) and allowed
    at = machine_now()
    until = at + timedelta(minutes=MINUTES)

    def body(store: Store) -> None:
        found = store.sessions.signs_in_with(key)
        if found and store.sessions.waits_for_guardian(found[0], _today(store)):
            found = None
        number = store.sessions.ask(found, sessions.hash_of(browser.secret), at, until)
        if found and allowed:
            _send(store, number, found)

    write(body, actor=ANONYMOUS)
    return until


def by_code(browser: Browser, code: str) -> str:
    """Sign in by the typed code; gives the session's secret. BadInput if it is not right."""
    typed = _plain_code(code)

    def body(store: Store) -> str | None:
        asked = _open_asking(store, browser)
        if asked is None:
            return None
        wanted = _plain_code(tokens.code(_PURPOSE, asked.id, asked.generation))
        if not tokens.same(wanted, typed):
            store.sessions.count_try(asked.id)
            return None
        return _session(store, asked, browser, "code")

    return _signed_in(write(body, actor=ANONYMOUS))


def by_link(browser: Browser, token: str) -> str:
    """Sign in by the mailed link, in the browser that asked; gives the session's secret.

    Another browser gets nothing and spends nothing. BadInput if it is not right.
    """

    def body(store: Store) -> str | None:
        asked = _open_asking(store, browser)
        good = asked is not None and tokens.number_in(token) == asked.id
        if not tokens.is_right(_PURPOSE, token, asked.generation if asked and good else None):
            return None
        return _session(store, asked, browser, "link") if asked else None

    return _signed_in(write(body, actor=ANONYMOUS))


@dataclass(frozen=True)
class Letter:
    """What the mail says: to whom, the path of the link (its secret after #), the code."""

    name: str
    language: str
    address: str
    path: str
    code: str
    minutes: int
    until: datetime


def letter(store: Store, number: int) -> Letter | None:
    """The mail of an asking; None if nobody is to be written to."""
    found = store.sessions.letter(number)
    if found is None:
        return None
    secret = tokens.token(_PURPOSE, found.id, found.generation)
    code = tokens.code(_PURPOSE, found.id, found.generation)
    return Letter(found.name, found.language, found.address, f"/sign-in/open#{secret}", code,
                  MINUTES, found.until)  # fmt: skip


def asked_until(browser: Browser) -> datetime | None:
    """Until when the newest asking of this browser is good; None if there is none."""
    at, hashed = machine_now(), sessions.hash_of(browser.secret)
    return read(lambda store: store.sessions.open_until(hashed, at))


def _send(store: Store, number: int, found: tuple[int, int]) -> None:
    from roster.services import messages

    person, address = found
    messages.queue(
        store, "sign_in", person=person, address=address, facts={"sign_in": number},
        dedupe=f"sign_in:{number}",
    )  # fmt: skip


def _open_asking(store: Store, browser: Browser) -> SignInRow | None:
    hashed = sessions.hash_of(browser.secret)
    asked = store.sessions.open_of(hashed, machine_now())
    return asked if asked and asked.tries < TRIES else None


def _session(store: Store, asked: SignInRow, browser: Browser, factor: str) -> str | None:
    if asked.person is None or store.access.actor_of(asked.person) is None:
        return None
    if not store.sessions.use(asked.id, machine_now()):
        return None
    return sessions.make(store, asked.person, factor, browser.device)


def _signed_in(token: str | None) -> str:
    if token is None:
        raise BadInput("code", "", Reason("code_wrong"))
    return token


def _plain_code(code: str) -> str:
    """Capitals, no hyphens and spaces; O is read as 0, I and L as 1 (Crockford's base 32)."""
    kept = "".join(sign for sign in code.upper() if sign.isalnum())[:32]
    return kept.translate(str.maketrans("OIL", "011"))


def _today(store: Store) -> date:
    programme = store.programme.the_one()
    return clock.today(programme.time_zone if programme else "UTC")
