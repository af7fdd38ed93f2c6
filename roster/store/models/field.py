"""The day itself: briefing, head count, readings, alarms, numbers and collections."""

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

briefing = Table(
    "briefing",
    pk(),
    ref("event", "event.id", index=False),
    Column("n", Integer, nullable=False),
    Column("crew_version", Integer, nullable=False),
    ref("given_by", "person.id", null=True),
    Column("at", Instant, nullable=False),
    Column("topics", Text, nullable=False),
    UniqueConstraint("event", "n"),
    info=INSERT_ONLY,
)
heard = Table(
    "heard",
    ref("briefing", "briefing.id", index=False),
    ref("spot", "spot.id"),
    Column("at", Instant, nullable=False),
    *words("way", "spoken", "own_phone", "late"),
    UniqueConstraint("briefing", "spot"),
    info=INSERT_ONLY,
)
head_count = Table(
    "head_count",
    pk(),
    ref("event", "event.id"),
    ref("spot", "spot.id"),
    *words("way", "out", "in", "handed_over"),
    Column("to_whom", Text),
    Column("at", Instant, nullable=False),
    ref("by", "person.id", null=True),
    Column("device_claim", Text),
)
reading = Table(
    "reading",
    pk(),
    ref("event", "event.id"),
    Column("kind", Text, nullable=False),
    Column("value", Float, nullable=False),
    Column("unit", Text, nullable=False),
    Column("at", Instant, nullable=False),
    ref("by", "person.id", null=True),
    info=INSERT_ONLY,
)
alarm = Table(
    "alarm",
    pk(),
    ref("event", "event.id", index=False),
    Column("rung", Integer, nullable=False),
    Column("at", Instant, nullable=False),
    Column("acknowledged_at", Instant),
    ref("acknowledged_by", "person.id", null=True),
    UniqueConstraint("event", "rung"),
)
hold = Table(
    "hold",
    pk(),
    ref("event", "event.id"),
    Column("reason", Text, nullable=False),
    Column("from_at", Instant, nullable=False),
    Column("until_at", Instant),
)
event_record = Table(
    "event_record",
    ref("event", "event.id", index=False),
    Column("n", Integer, nullable=False),
    Column("sealed_at", Instant, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("body", Text, nullable=False),
    UniqueConstraint("event", "n"),
    info=INSERT_ONLY,
)
number_block = Table(
    "number_block",
    pk(),
    Column("team", Text, nullable=False),
    Column("first_no", Integer, nullable=False),
    Column("last_no", Integer, nullable=False),
    ref("lead", "person.id", null=True),
    ref("event", "event.id", null=True),
    Column("taken_at", Instant, nullable=False),
    UniqueConstraint("team", "first_no"),
    CheckConstraint("last_no >= first_no AND first_no > 0", name="numbers_in_order"),
    info=INSERT_ONLY,
)
collection = Table(
    "collection",
    pk(),
    Column("team", Text, nullable=False),
    Column("no", Integer, nullable=False),
    ref("event", "event.id"),
    ref("population", "population.id"),
    Column("on", Date, nullable=False),
    Column("plants_at_dispersal", Integer),
    Column("fruits", Float),
    Column("seeds", Float),
    Column("looked_at", Integer),
    Column("good", Integer),
    Column("most_to_take", Float),
    Column("taken", Float),
    Column("taken_unit", Text),
    Column("bagging", Text, nullable=False, server_default="bulk"),
    Column("mothers", Integer),
    Column("voucher", Text),
    Column("rule_set", Text),
    Column("rule_version", Text),
    Column("source", Text),
    *known(),
    Index(
        "uq_collection_number",
        "team",
        "no",
        unique=True,
        sqlite_where=text("ended_at IS NULL"),
        postgresql_where=text("ended_at IS NULL"),
    ),
    info=TWO_TIMES,
)
