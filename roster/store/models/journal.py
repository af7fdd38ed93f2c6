"""Who changed what: a chain of hashes that only grows, with the values beside it."""

from sqlalchemy import Column, Index, Integer, Text, UniqueConstraint

from roster.store.base import INSERT_ONLY, Id, Instant, Table, ref

journal = Table(
    "journal",
    Column("seq", Id, primary_key=True, autoincrement=False),
    Column("at", Instant, nullable=False),
    Column("actor", Text, nullable=False),
    ref("person", "person.id", null=True),
    Column("verb", Text, nullable=False),
    Column("object_kind", Text, nullable=False),
    Column("object_id", Text, nullable=False),
    ref("region", "region.id", null=True),
    Column("digest", Text, nullable=False),
    Column("prev", Text, nullable=False),
    Column("hash", Text, nullable=False, unique=True),
    Index("ix_journal_object", "object_kind", "object_id", "seq"),
    info=INSERT_ONLY,
)
journal_value = Table(
    "journal_value",
    ref("seq", "journal.seq", index=False),
    Column("field", Text, nullable=False),
    Column("before", Text),
    Column("after", Text),
    Column("salt", Text),
    Column("digest", Text, nullable=False),
    UniqueConstraint("seq", "field"),
)
journal_head = Table(
    "journal_head",
    Column("one", Integer, primary_key=True, autoincrement=False),
    Column("seq", Id, nullable=False),
    Column("hash", Text, nullable=False),
)
