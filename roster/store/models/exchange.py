"""Imported files, what each row did, and how to take it back."""

from sqlalchemy import Column, Index, Integer, Text

from roster.store.base import Id, Instant, Table, pk, ref, words

import_batch = Table(
    "import_batch",
    pk(),
    Column("kind", Text, nullable=False),
    Column("file_name", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    ref("by", "person.id", null=True),
    Column("at", Instant, nullable=False),
    Column("row_count", Integer, nullable=False),
    Column("undone_at", Instant),
)
import_row = Table(
    "import_row",
    pk(),
    ref("batch", "import_batch.id", index=False),
    Column("line", Integer, nullable=False),
    Column("table_name", Text, nullable=False),
    Column("row_id", Id, nullable=False),
    *words("act", "new", "changed"),
    Column("before", Text),
    Index("ix_import_row_batch", "batch", "line"),
)
