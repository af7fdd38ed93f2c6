"""Rows of a spreadsheet: CSV in UTF-8, or the first sheet of an XLSX file.

A sheet is read whole; its size is limited before it is opened. CSV after RFC 4180; a byte order
mark is allowed, semicolons and tabs are understood.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason

MOST_BYTES = 64 * 1024 * 1024
MOST_UNPACKED = 400 * 1024 * 1024
MOST_ROWS = 250_000
MOST_COLUMNS = 200

Cell = str | date


@dataclass(frozen=True)
class Sheet:
    """Headings, and the rows below them with their line numbers as the sheet shows them."""

    headings: tuple[str, ...]
    rows: Sequence[tuple[int, Sequence[Cell]]]


def read_sheet(name: str, content: bytes) -> Sheet:
    """The sheet in a file. BadInput with one reason if it cannot be read."""
    if len(content) > MOST_BYTES:
        raise _bad(name, "file_too_large", most=MOST_BYTES // (1024 * 1024))
    if not content.strip():
        raise _bad(name, "file_empty")
    suffix = name.lower().rpartition(".")[2]
    if content[:2] == b"PK" or suffix == "xlsx":
        found = _xlsx(name, content)
    elif suffix in ("csv", "txt", "tsv"):
        found = _csv(name, content)
    else:
        raise _bad(name, "file_kind_unknown")
    return _below_headings(name, found)


def _below_headings(name: str, rows: Iterator[tuple[int, Sequence[Cell]]]) -> Sheet:
    filled = ((line, row) for line, row in rows if any(str(cell).strip() for cell in row))
    first = next(filled, None)
    if first is None:
        raise _bad(name, "file_empty")
    if len(first[1]) > MOST_COLUMNS:
        raise _bad(name, "file_not_a_table")
    kept = []
    for one in filled:
        kept.append(one)
        if len(kept) > MOST_ROWS:
            raise _bad(name, "file_too_many_rows", most=MOST_ROWS)
    return Sheet(tuple(str(cell) for cell in first[1]), kept)


def _csv(name: str, content: bytes) -> Iterator[tuple[int, Sequence[Cell]]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _bad(name, "file_not_utf8", line=line) from None
    if "\x00" in text:
        raise _bad(name, "file_not_a_table")
    head = text.partition("\n")[0]
    delimiter = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    return _lines(name, reader)


def _lines(name: str, reader: Iterator[list[str]]) -> Iterator[tuple[int, Sequence[Cell]]]:
    line = 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error:
            raise _bad(name, "file_not_a_table") from None
        yield line, row
        line = reader.line_num + 1  # type: ignore[attr-defined]


def _xlsx(name: str, content: bytes) -> Iterator[tuple[int, Sequence[Cell]]]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            unpacked = sum(part.file_size for part in packed.infolist())
    except (zipfile.BadZipFile, ValueError, OSError):
        raise _bad(name, "file_broken") from None
    if unpacked > MOST_UNPACKED:
        raise _bad(name, "file_too_large", most=MOST_BYTES // (1024 * 1024))
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(content))
        rows = book.get_sheet_by_index(0).to_python(skip_empty_area=False)
    except (CalamineError, IndexError, ValueError, zipfile.BadZipFile):
        raise _bad(name, "file_broken") from None
    return ((line, [_cell(cell) for cell in row]) for line, row in enumerate(rows, start=1))


def _cell(value: object) -> Cell:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return "" if value is None else str(value)


def _bad(name: str, code: str, **facts: int) -> BadInput:
    return BadInput("file", name, Reason(code, {"name": name[:80], **facts}))
