"""What no page of ours would send is refused before any view reads it."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from flask import abort, request

LARGEST = 2**63 - 1
_ALLOWED = {"\n", "\r", "\t"}
# C0 and C1 controls, surrogates, and the signs that turn the direction of a line about
_TURNERS = {chr(n) for n in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))}


def is_clean(text: str) -> bool:
    """Whether a text holds no sign that cannot be printed, kept or read."""
    if text.isprintable():
        return True
    return not any(_is_bad(sign) for sign in text)


def _is_bad(sign: str) -> bool:
    if sign in _ALLOWED:
        return False
    number = ord(sign)
    return number < 0x20 or 0x7F <= number < 0xA0 or 0xD800 <= number < 0xE000 or sign in _TURNERS


def check() -> None:
    """Answer 404 to a number that no row has, 400 to signs that nobody can type."""
    for value in (request.view_args or {}).values():
        if isinstance(value, int) and not 0 <= value <= LARGEST:
            abort(404)
        if isinstance(value, str) and not is_clean(value):
            abort(404)
    if not all(is_clean(text) for text in _given()):
        abort(400)


def _given() -> Iterable[str]:
    pairs = chain(request.args.items(multi=True), request.form.items(multi=True))
    return chain.from_iterable(pairs)
