"""Invitations, the outbox, feeds, and which job slots ran."""

from sqlalchemy import Column, Index, Integer, LargeBinary, Text, UniqueConstraint, text

from roster.store.base import Instant, Table, pk, ref, words

invitation = Table(
    "invitation",
    ref("event", "event.id", index=False),
    ref("person", "person.id"),
    Column("n_sent", Integer, nullable=False, server_default="0"),
    Column("answer", Text),
    Column("reply_sequence", Integer),
    Column("reply_dtstamp", Instant),
    Column("generation", Integer, nullable=False, server_default="0"),
    UniqueConstraint("event", "person"),
)
outbox = Table(
    "outbox",
    pk(),
    Column("kind", Text, nullable=False),
    *words("class", "at_least_once", "at_most_once"),
    Column("safety", Integer, nullable=False, server_default="0"),
    ref("event", "event.id", null=True),
    Column("n", Integer),
    ref("person", "person.id", null=True),
    ref("address", "person_address.id", null=True),
    ref("guardian", "guardian.id", null=True),
    Column("facts", Text, nullable=False, server_default="{}"),
    Column("made_at", Instant, nullable=False),
    Column("not_before", Instant, nullable=False),
    *words(
        "state", "held", "waiting", "claimed", "sending", "sent", "failed", "unknown", "cancelled"
    ),
    Column("owner", Text),
    Column("lease", Instant),
    Column("tries", Integer, nullable=False, server_default="0"),
    Column("said", Text),
    Column("message_id", Text, nullable=False, unique=True),
    Column("dedupe", Text, nullable=False, unique=True),
    Column("sent_at", Instant),
    Index("ix_outbox_due", "state", "not_before", "id"),
)
feed = Table(
    "feed",
    pk(),
    *words("kind", "person", "region", "public"),
    ref("person", "person.id", null=True),
    ref("region", "region.id", null=True),
    Column("generation", Integer, nullable=False, server_default="1"),
    Column("revision", Integer, nullable=False, server_default="0"),
    Column("changed_at", Instant, nullable=False),
    Column("revoked_at", Instant),
    Column("last_used", Instant),
    Index(
        "uq_feed_person",
        "person",
        unique=True,
        sqlite_where=text("kind = 'person'"),
        postgresql_where=text("kind = 'person'"),
    ),
    Index(
        "uq_feed_region",
        "region",
        unique=True,
        sqlite_where=text("kind = 'region'"),
        postgresql_where=text("kind = 'region'"),
    ),
)
feed_body = Table(
    "feed_body",
    ref("feed", "feed.id", index=False),
    Column("revision", Integer, nullable=False),
    Column("etag", Text, nullable=False),
    Column("bytes", LargeBinary, nullable=False),
    Column("made_at", Instant, nullable=False),
    Index("uq_feed_body_feed", "feed", unique=True),
)
job_run = Table(
    "job_run",
    Column("job", Text, primary_key=True),
    Column("slot", Text, primary_key=True),
    *words("state", "claimed", "done", "failed", "expired", "dead"),
    Column("owner", Text),
    Column("lease", Instant),
    Column("tries", Integer, nullable=False, server_default="0"),
    Column("said", Text),
    Column("done_at", Instant),
)
derivation = Table(
    "derivation",
    Column("name", Text, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("tzdata", Text, nullable=False),
    Column("rebuilt_at", Instant, nullable=False),
)
