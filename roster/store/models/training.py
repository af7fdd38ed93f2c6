"""Tracks, steps and finished steps."""

from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Float,
    Index,
    Integer,
    Text,
    UniqueConstraint,
    text,
)

from roster.store.base import INSERT_ONLY, TWO_TIMES, Instant, Table, known, pk, ref, words

track = Table(
    "track",
    pk(),
    Column("code", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("role", Text, nullable=False, index=True),
    Column("youngest_age", Integer, nullable=False),
    Column("youngest_with_guardian", Integer),
)
track_version = Table(
    "track_version",
    pk(),
    ref("track", "track.id", index=False),
    Column("n", Integer, nullable=False),
    Column("from_on", Date, nullable=False),
    *known(),
    Index(
        "uq_track_version_n",
        "track",
        "n",
        unique=True,
        sqlite_where=text("ended_at IS NULL"),
        postgresql_where=text("ended_at IS NULL"),
    ),
    Index("ix_track_version_track", "track"),
    info=TWO_TIMES,
)
step = Table(
    "step",
    pk(),
    Column("code", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    *words(
        "kind",
        "lesson",
        "quiz",
        "field_day",
        "papers",
        "contact_details",
        "first_aid",
        "driver_check",
        "youth_protection",
        "screening",
        "plant_identification",
    ),
    Column("about", Text, nullable=False, server_default=""),
    Column("paper", Text),
)
step_version = Table(
    "step_version",
    pk(),
    ref("step", "step.id", index=False),
    Column("n", Integer, nullable=False),
    Column("from_on", Date, nullable=False),
    Column("validity", Text),
    Column("pass_mark", Float),
    Column("self_counts", Integer, nullable=False, server_default="0"),
    Column("renews", Integer, nullable=False, server_default="0"),
    *known(),
    Index(
        "uq_step_version_n",
        "step",
        "n",
        unique=True,
        sqlite_where=text("ended_at IS NULL"),
        postgresql_where=text("ended_at IS NULL"),
    ),
    Index("ix_step_version_step", "step"),
    info=TWO_TIMES,
)
track_step = Table(
    "track_step",
    ref("track", "track.id", index=False),
    Column("n", Integer, nullable=False),
    ref("step", "step.id"),
    Column("ordinal", Integer, nullable=False),
    Column("needed_from", Date),
    UniqueConstraint("track", "n", "step"),
)
prerequisite = Table(
    "prerequisite",
    ref("step", "step.id", index=False),
    ref("needs", "step.id"),
    UniqueConstraint("step", "needs"),
)
completion = Table(
    "completion",
    pk(),
    ref("person", "person.id"),
    ref("step", "step.id"),
    Column("n", Integer, nullable=False),
    Column("done_on", Date, nullable=False),
    Column("own_until", Date),
    *words("source", "self", "coordinator", "spreadsheet", "xapi"),
    Column("source_key", Text),
    Column("score", Float),
    ref("assessor", "person.id", null=True),
    *known(),
    CheckConstraint("own_until IS NULL OR own_until >= done_on", name="own_until"),
    Index(
        "uq_completion_source",
        "source",
        "source_key",
        unique=True,
        sqlite_where=text("ended_at IS NULL AND source_key IS NOT NULL"),
        postgresql_where=text("ended_at IS NULL AND source_key IS NOT NULL"),
    ),
    info=TWO_TIMES,
)
confirmation = Table(
    "confirmation",
    pk(),
    ref("completion", "completion.id"),
    *known(),
    info=TWO_TIMES,
)
exemption = Table(
    "exemption",
    pk(),
    ref("person", "person.id"),
    ref("step", "step.id"),
    Column("from_on", Date, nullable=False),
    Column("until_on", Date),
    *known(),
    info=TWO_TIMES,
)
attempt = Table(
    "attempt",
    pk(),
    ref("person", "person.id"),
    ref("step", "step.id"),
    Column("n", Integer, nullable=False),
    Column("asked", Text, nullable=False),
    Column("given", Text, nullable=False),
    Column("score", Float, nullable=False),
    Column("at", Instant, nullable=False),
    info=INSERT_ONLY,
)
