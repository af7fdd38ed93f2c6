"""Rows of the tables of published check values; each row names its source in its last column."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

TABLES = Path(__file__).parent.parent / "checks"


def rows(table: str, **wanted: str) -> list:
    """The rows of a table as pytest parameters with their own ids; `wanted` narrows by column."""
    with (TABLES / f"{table}.csv").open(newline="", encoding="utf-8") as lines:
        found = [
            row
            for row in csv.DictReader(lines)
            if all(row[column] == value for column, value in wanted.items())
        ]
    assert found, f"no row of {table}.csv has {wanted}"
    assert all(row["source"] for row in found)
    return [pytest.param(row, id=row["id"]) for row in found]
