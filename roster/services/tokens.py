"""Secrets that are mailed or shown: worked out from a key of their purpose, never stored.

A token is `NUMBER-MAC`: the number of the row it stands for, and base32 of HMAC-SHA256 over
that number and the row's generation. Counting the generation up makes the old one worthless.
"""

from __future__ import annotations

import hashlib
import hmac
from base64 import b32encode

from roster.store.wiring import wiring

_CODE_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's, without I, L, O, U
_CODE_LENGTH = 8


def key_of(purpose: str) -> bytes:
    """The key of one purpose, derived from ROSTER_SECRET_KEY."""
    secret = wiring().config.secret_key.encode()
    return hmac.digest(secret, f"roster|{purpose}".encode(), hashlib.sha256)


def token(purpose: str, number: int, generation: int = 1) -> str:
    """The secret of one row, fit for a path: 256 bits after the row's number."""
    return f"{number}-{_mac(purpose, number, generation)}"


def number_in(text: str) -> int | None:
    """The row that a token claims to stand for; None if it is no token at all."""
    number, dash, mac = text.partition("-")
    fits = dash and number.isascii() and number.isdigit() and len(number) < 19 and len(mac) == 52
    return int(number) if fits else None


def is_right(purpose: str, text: str, generation: int | None) -> bool:
    """Whether the token is that of its row in this generation.

    With None (no such row) the same work is done and the answer is no.
    """
    number = number_in(text) or 0
    wanted = f"{number}-{_mac(purpose, number, generation or 0)}"
    same = hmac.compare_digest(wanted.encode(), text.encode("utf-8", "replace"))
    return same and generation is not None


def same(ours: str, given: str) -> bool:
    """Whether two secrets are the same, in a time that does not tell how far they agree."""
    return hmac.compare_digest(ours.encode(), given.encode("utf-8", "replace"))


def code(purpose: str, number: int, generation: int = 1) -> str:
    """A short code to type, 40 bits in two groups of four; its tries must be counted."""
    digest = hmac.digest(
        key_of(f"{purpose} code"), f"{number}|{generation}".encode(), hashlib.sha256
    )
    signs = [_CODE_SIGNS[byte % 32] for byte in digest[:_CODE_LENGTH]]
    return f"{''.join(signs[:4])}-{''.join(signs[4:])}"


def _mac(purpose: str, number: int, generation: int) -> str:
    digest = hmac.digest(key_of(purpose), f"{number}|{generation}".encode(), hashlib.sha256)
    return b32encode(digest).decode().rstrip("=").lower()
