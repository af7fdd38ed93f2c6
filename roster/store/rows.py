"""From a result row to a frozen value of ours."""

from __future__ import annotations

from typing import Any, TypeVar

from sqlalchemy import Row

T = TypeVar("T")


def made(kind: type[T], row: Row[*tuple[Any, ...]]) -> T:
    """A value of that kind from a row whose columns are named as its fields."""
    return kind(**row._mapping)


def made_or_none(kind: type[T], row: Row[*tuple[Any, ...]] | None) -> T | None:
    """The same, for a row that may be missing."""
    return None if row is None else made(kind, row)
