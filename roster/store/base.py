"""The database handle and the column types of our own."""

from __future__ import annotations

import unicodedata
from datetime import UTC, datetime
from typing import Any

import sqlalchemy
from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Text,
    TypeDecorator,
    text,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeEngine

CONVENTION = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
db = SQLAlchemy(metadata=MetaData(naming_convention=CONVENTION))


def Table(name: str, *parts: Any, **options: Any) -> sqlalchemy.Table:  # noqa: N802 - as SQLAlchemy
    """A table of ours; its numbers are never used again, on SQLite by AUTOINCREMENT."""
    if any(isinstance(p, Column) and p.name == "id" and isinstance(p.type, BigInteger)
           for p in parts):  # fmt: skip
        options["sqlite_autoincrement"] = True
    made: sqlalchemy.Table = db.Table(name, *parts, **options)
    return made


Id = BigInteger().with_variant(Integer, "sqlite")


def key_of(value: str) -> str:
    """The sort and search form of a text: NFC, casefolded, single spaces."""
    plain = value if value.isascii() else unicodedata.normalize("NFC", value)
    return " ".join(plain.casefold().split())


class Instant(TypeDecorator[datetime]):
    """A point in time, UTC; refuses a naive datetime; text with Z on SQLite."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Text on SQLite, timestamptz on PostgreSQL."""
        if dialect.name == "sqlite":
            return dialect.type_descriptor(String(27))
        return dialect.type_descriptor(DateTime(timezone=True))

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """The instant as the database keeps it."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs a time zone")
        value = value.astimezone(UTC)
        if dialect.name == "sqlite":
            return value.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
        return value

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """An aware datetime in UTC."""
        if value is None:
            return None
        if isinstance(value, str):
            return datetime.fromisoformat(value)
        return value.astimezone(UTC)  # type: ignore[no-any-return]


class Key(TypeDecorator[str]):
    """A text kept in its sort form, ordered by code point on both databases."""

    impl = Text
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Text in the C collation where the database has collations."""
        if dialect.name == "postgresql":
            return dialect.type_descriptor(Text(collation="C"))
        return dialect.type_descriptor(Text())

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """The sort form of whatever was given."""
        return None if value is None else key_of(value)


def pk() -> Column[int]:
    """A primary key that is never reused."""
    return Column("id", Id, primary_key=True)


def ref(name: str, target: str, *, null: bool = False, index: bool = True) -> Column[int]:
    """A foreign key to `target` (table.column), indexed unless another index leads with it."""
    return Column(name, Id, ForeignKey(target), nullable=null, index=index)


def words(name: str, *allowed: str, null: bool = False) -> list[Any]:
    """A text column that holds one of a few code words, by a named CHECK."""
    listed = ", ".join(f"'{a}'" for a in allowed)
    column: Column[str] = Column(name, Text, nullable=null)
    return [column, CheckConstraint(f"{name} IN ({listed})", name=name)]


def true_days() -> list[Any]:
    """True from a day to a day: half-open local dates, open end = null."""
    return [
        Column("from_on", Date, nullable=False),
        Column("until_on", Date),
        CheckConstraint("until_on IS NULL OR until_on >= from_on", name="days_in_order"),
    ]


def known() -> list[Any]:
    """When we knew it: rows are only ever added and ended, never changed."""
    return [
        Column("recorded_at", Instant, nullable=False),
        Column("recorded_seq", Id),
        ref("recorded_by", "person.id", null=True),
        Column("ended_at", Instant),
        Column("ended_seq", Id),
        Column("ended_why", Text),
    ]


TWO_TIMES = {"guard": "two_times"}
INSERT_ONLY = {"guard": "insert_only"}
FALSE = text("false")
