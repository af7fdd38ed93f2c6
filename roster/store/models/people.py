"""Persons, their addresses, roles, free days, and what only emergencies read."""

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

from roster.store.base import TWO_TIMES, Id, Instant, Key, Table, known, pk, ref, true_days, words

person = Table(
    "person",
    pk(),
    ref("root_id", "person.id", null=True),
    Column("name", Text, nullable=False),
    Column("name_key", Key, nullable=False),
    Column("born_on", Date),
    Column("of_age_on", Date),
    Column("language", Text, nullable=False, server_default="en"),
    Column("time_zone", Text),
    Column("postcode", Text),
    Column("phone", Text),
    Column("household", Text),
    Column("lat", Float),
    Column("lon", Float),
    Column("x", Float),
    Column("y", Float),
    Column("z", Float),
    *words("state", "active", "paused", "left", "erased"),
    Column("added_at", Instant, nullable=False),
    Index("ix_person_name_key", "name_key", "id"),
)
person_region = Table(
    "person_region",
    pk(),
    ref("person", "person.id"),
    ref("region", "region.id"),
    *true_days(),
    *known(),
    info=TWO_TIMES,
)
person_address = Table(
    "person_address",
    pk(),
    ref("person", "person.id"),
    Column("address", Text, nullable=False),
    Column("key", Key, nullable=False, index=True),
    *words("use", "sign_in", "mail", "guardian"),
    Column("verified_at", Instant),
    Column("until", Instant),
    Index(
        "uq_person_address_sign_in",
        "key",
        unique=True,
        sqlite_where=text("use = 'sign_in' AND until IS NULL"),
        postgresql_where=text("use = 'sign_in' AND until IS NULL"),
    ),
)
emergency_contact = Table(
    "emergency_contact",
    pk(),
    ref("person", "person.id"),
    Column("name", Text, nullable=False),
    Column("phone", Text, nullable=False),
    Column("relation", Text, nullable=False, server_default=""),
)
health_note = Table(
    "health_note",
    pk(),
    ref("person", "person.id", index=False),
    ref("season", "season.id"),
    Column("note", Text, nullable=False),
    UniqueConstraint("person", "season"),
)
guardian = Table(
    "guardian",
    pk(),
    ref("person", "person.id"),
    Column("name", Text, nullable=False),
    Column("address", Text, nullable=False),
    Column("phone", Text, nullable=False, server_default=""),
    ref("guardian_person", "person.id", null=True),
    Column("from_on", Date, nullable=False),
    Column("until_on", Date),
    Column("second_sign", Text),
)
staff_grant = Table(
    "staff_grant",
    pk(),
    ref("person", "person.id"),
    *words("role", "coordinator", "regional", "acting", "duty"),
    ref("region", "region.id", null=True),
    Column("acting", Integer, nullable=False, server_default="0"),
    *true_days(),
    *known(),
    info=TWO_TIMES,
)
withheld = Table(
    "withheld",
    pk(),
    ref("person", "person.id"),
    Column("role", Text, nullable=False),
    *words("kind", "suspended", "revoked"),
    *true_days(),
    Column("reason_code", Text, nullable=False, server_default=""),
    *known(),
    info=TWO_TIMES,
)
free_rule = Table(
    "free_rule",
    ref("person", "person.id", index=False),
    Column("weekdays", Integer, nullable=False, server_default="127"),
    Column("minutes_drive", Integer),
    Column("per_month", Integer, nullable=False, server_default="4"),
    Index("uq_free_rule_person", "person", unique=True),
    CheckConstraint("weekdays BETWEEN 0 AND 127", name="weekdays"),
)
away = Table(
    "away",
    pk(),
    ref("person", "person.id"),
    Column("from_on", Date, nullable=False),
    Column("until_on", Date, nullable=False),
    CheckConstraint("until_on > from_on", name="days_in_order"),
)
knows_taxon = Table(
    "knows_taxon",
    ref("person", "person.id", index=False),
    ref("taxon", "taxon.id"),
    Index("uq_knows_taxon_pair", "person", "taxon", unique=True),
)
held = Table(
    "held",
    ref("root", "person.id", index=False),
    Column("role", Text, nullable=False),
    Column("from_on", Date, nullable=False),
    Column("until_on", Date),
    Column("x", Float),
    Column("y", Float),
    Column("z", Float),
    Column("cell", Integer),
    Index("ix_held_root", "root", "role", "from_on"),
    Index("ix_held_reach", "role", "cell", "from_on", "until_on", "x", "y", "z", "root"),
)
busy = Table(
    "busy",
    Column("day", Date, nullable=False),
    ref("root", "person.id"),
    Column("events", Integer, nullable=False, server_default="1"),
    UniqueConstraint("day", "root"),
)
person_merge = Table(
    "person_merge",
    pk(),
    ref("from_root", "person.id"),
    ref("into_root", "person.id"),
    ref("by", "person.id", null=True),
    Column("at", Instant, nullable=False),
    Column("undone_at", Instant),
)
erasure = Table(
    "erasure",
    Column("id", Text, primary_key=True),
    Column("on", Date, nullable=False),
    Column("root", Id, nullable=False),
)
