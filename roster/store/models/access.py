"""Sessions, sign-ins, links, rates and answered operations."""

from sqlalchemy import Column, Integer, PrimaryKeyConstraint, Text

from roster.store.base import Id, Instant, Table, pk, ref, words

session = Table(
    "session",
    Column("hash", Text, primary_key=True),
    ref("person", "person.id"),
    Column("made_at", Instant, nullable=False),
    Column("seen_at", Instant, nullable=False),
    Column("until", Instant, nullable=False),
    *words("factor", "link", "code", "enter", "device"),
    Column("device", Text),
)
sign_in = Table(
    "sign_in",
    pk(),
    ref("person", "person.id", null=True),
    ref("address", "person_address.id", null=True),
    Column("browser_hash", Text, nullable=False),
    Column("generation", Integer, nullable=False, server_default="1"),
    Column("made_at", Instant, nullable=False),
    Column("until", Instant, nullable=False),
    Column("used_at", Instant),
    Column("tries", Integer, nullable=False, server_default="0"),
)
link = Table(
    "link",
    pk(),
    *words(
        "purpose",
        "guardian_consent",
        "answer_lead",
        "answer_offer",
        "answer_move",
        "seen",
        "confirm_address",
        "unsubscribe",
    ),
    Column("object_kind", Text, nullable=False),
    Column("object_id", Id, nullable=False),
    ref("person", "person.id", null=True),
    ref("guardian", "guardian.id", null=True),
    Column("until", Instant, nullable=False),
    Column("generation", Integer, nullable=False, server_default="1"),
    Column("revoked_at", Instant),
    Column("used_at", Instant),
    Column("made_at", Instant, nullable=False),
)
rate = Table(
    "rate",
    Column("key", Text, nullable=False),
    Column("window", Integer, nullable=False),
    Column("count", Integer, nullable=False),
    PrimaryKeyConstraint("key", "window"),
)
operation = Table(
    "operation",
    Column("actor", Text, nullable=False),
    Column("id", Text, nullable=False),
    Column("answer", Text, nullable=False),
    Column("at", Instant, nullable=False, index=True),
    PrimaryKeyConstraint("actor", "id"),
)
