"""Spreadsheets for tests, as bytes."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date
from typing import Any

import xlsxwriter


def as_csv(*rows: Sequence[Any], encoding: str = "utf-8") -> bytes:
    """Rows as CSV."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue().encode(encoding)


def as_xlsx(*rows: Sequence[Any]) -> bytes:
    """Rows as an XLSX file, days as days."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet, day = book.add_worksheet(), book.add_format({"num_format": "yyyy-mm-dd"})
    for line, row in enumerate(rows):
        for place, value in enumerate(row):
            if isinstance(value, date):
                sheet.write_datetime(line, place, value, day)
            else:
                sheet.write(line, place, value)
    book.close()
    return out.getvalue()
