"""Content lines by hand: folding at 75 octets, CRLF, and text that cannot break out of a line."""

from __future__ import annotations

CRLF = b"\r\n"
_WIDEST = 75  # octets without the line break, RFC 5545 section 3.1


def clean(text: str, *, lines: bool = False) -> str:
    """The text without control characters; `lines` keeps line feeds (descriptions).

    A lone carriage return or a NUL would open a way to write lines of one's own
    (RFC 5545 section 3.1 allows no control character but HTAB in a value).
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not lines:
        text = text.replace("\n", " ")
    kept = (c for c in text if (c >= " " and not "\x7f" <= c <= "\x9f") or c in "\n\t")
    return "".join(kept).encode("utf-8", "ignore").decode("utf-8").strip()


def escaped(text: str) -> str:
    """A TEXT value, escaped once, backslash first (RFC 5545 section 3.3.11)."""
    text = clean(text, lines=True).replace("\\", "\\\\")
    return text.replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def line(name: str, value: str) -> bytes:
    """One content line with its CRLF, folded without cutting a character or an escape."""
    folded, width = bytearray(), 0
    units = iter(f"{name}:{value}")
    for unit in units:
        piece = (unit + next(units, "") if unit == "\\" else unit).encode()
        if width + len(piece) > _WIDEST:
            folded += CRLF + b" "
            width = 1
        folded += piece
        width += len(piece)
    return bytes(folded) + CRLF
