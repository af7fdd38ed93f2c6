"""Numbers that people read aloud and type: Crockford base 32 with a check symbol.

Crockford, Base 32 (crockford.com/base32.html, 4 March 2019): digits 0-9 and A-Z without I, L, O
and U; the check symbol is the number modulo 37, with five further symbols * ~ $ = U. Reading
ignores case and hyphens and takes I and L for 1, O for 0. A check symbol catches slips of typing,
not forgery.
"""

from __future__ import annotations

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason

DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CHECK_SYMBOLS = DIGITS + "*~$=U"
_READ_AS = str.maketrans("ILO", "110")
_VALUE = {symbol: value for value, symbol in enumerate(CHECK_SYMBOLS)}


class CodeError(BadInput, ValueError):
    """A typed number that cannot be right: a symbol is wrong, missing or swapped."""


def check_symbol(number: int) -> str:
    """The check symbol of a number that is not negative; one of 37."""
    if number < 0:
        raise CodeError("number", number, Reason("bad_code", {"value": str(number)}))
    return CHECK_SYMBOLS[number % 37]


def has_plain_check(number: int) -> bool:
    """Whether the check symbol is easy to say and safe in an address (no * ~ $ = nor U)."""
    return check_symbol(number) in DIGITS


def encode(number: int, length: int = 1) -> str:
    """The number in base 32 with its check symbol last, filled with zeros to `length` digits.

    Zeros in front do not change the check symbol, so numbers of one kind keep one length.
    """
    symbol, digits = check_symbol(number), ""
    while number or not digits:
        number, rest = divmod(number, 32)
        digits = DIGITS[rest] + digits
    return digits.rjust(length, "0") + symbol


def append_check(text: str) -> str:
    """The digits as they are written (capitals, no hyphens) with their check symbol last."""
    digits = _tidy(text)
    return digits + check_symbol(_number(digits, text))


def decode(text: str) -> int:
    """The number that was typed, check symbol last; CodeError (a ValueError) for a slip."""
    symbols = _tidy(text)
    number = _number(symbols[:-1], text)
    if symbols[-1] != check_symbol(number):
        raise _bad(text)
    return number


def _tidy(text: str) -> str:
    """Capitals without hyphens; letters that look like digits are read as those digits."""
    if not text.isascii():  # some letters outside ASCII become two when put in capitals
        raise _bad(text)
    return text.strip().upper().replace("-", "").translate(_READ_AS)


def _number(digits: str, typed: str) -> int:
    if not digits:
        raise _bad(typed)
    number = 0
    for digit in digits:
        value = _VALUE.get(digit, 32)
        if value > 31:
            raise _bad(typed)
        number = number * 32 + value
    return number


def _bad(typed: str) -> CodeError:
    return CodeError("number", typed, Reason("bad_code", {"value": typed}))
