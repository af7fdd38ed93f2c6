"""Papers: forms in force and who signed which, until when."""

from sqlalchemy import Column, Date, Index, Integer, Text, UniqueConstraint, text

from roster.store.base import INSERT_ONLY, TWO_TIMES, Instant, Table, known, pk, ref, words

paper_form = Table(
    "paper_form",
    pk(),
    Column("code", Text, nullable=False),
    *words("kind", "agreement", "release", "guardian_consent", "emergency_care"),
    Column("agency", Text),
    Column("version", Integer, nullable=False),
    Column("language", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("from_on", Date, nullable=False),
    Column("validity", Text),
    UniqueConstraint("code", "version", "language"),
    info=INSERT_ONLY,
)
signature = Table(
    "signature",
    pk(),
    ref("person", "person.id"),
    ref("paper_form", "paper_form.id"),
    Column("signed_on", Date, nullable=False),
    Column("until_on", Date),
    *words("way", "typed", "paper", "call", "link"),
    ref("guardian", "guardian.id", null=True),
    Column("scope", Text),
    Column("source_key", Text),
    *known(),
    Index(
        "uq_signature_source",
        "source_key",
        unique=True,
        sqlite_where=text("ended_at IS NULL AND source_key IS NOT NULL"),
        postgresql_where=text("ended_at IS NULL AND source_key IS NOT NULL"),
    ),
    info=TWO_TIMES,
)
second_sign = Table(
    "second_sign",
    pk(),
    ref("signature", "signature.id"),
    *words("way", "call", "paper", "later_mail"),
    Column("on", Date, nullable=False),
    *known(),
    info=TWO_TIMES,
)
signature_private = Table(
    "signature_private",
    pk(),
    ref("signature", "signature.id"),
    Column("typed_name", Text, nullable=False),
    Column("address", Text),
    Column("note", Text),
)
file = Table(
    "file",
    Column("sha256", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("bytes", Integer, nullable=False),
    Column("made_at", Instant, nullable=False),
)
evidence = Table(
    "evidence",
    pk(),
    ref("completion", "completion.id"),
    Column("file", Text, nullable=False),
)
