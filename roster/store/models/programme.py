"""The programme, its settings, seasons and regions."""

from sqlalchemy import Column, Date, Float, Index, Integer, Text, UniqueConstraint, text

from roster.store.base import TWO_TIMES, Key, Table, known, pk, ref, true_days

programme = Table(
    "programme",
    pk(),
    Column("name", Text, nullable=False),
    Column("time_zone", Text, nullable=False),
    Column("language", Text, nullable=False, server_default="en"),
    Column("demo", Integer, nullable=False, server_default="0"),
)
setting = Table(
    "setting",
    pk(),
    Column("key", Text, nullable=False),
    Column("value", Text, nullable=False),
    *true_days(),
    *known(),
    Index(
        "uq_setting_key",
        "key",
        "from_on",
        unique=True,
        sqlite_where=text("ended_at IS NULL"),
        postgresql_where=text("ended_at IS NULL"),
    ),
    info=TWO_TIMES,
)
season = Table(
    "season",
    pk(),
    Column("name", Text, nullable=False, unique=True),
    Column("from_on", Date, nullable=False),
    Column("until_on", Date, nullable=False),
)
region = Table(
    "region",
    pk(),
    Column("code", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("time_zone", Text, nullable=False),
    Column("postcode_prefixes", Text, nullable=False, server_default=""),
    Column("polygon", Text),
)
postcode = Table(
    "postcode",
    Column("code", Text, primary_key=True),
    Column("lat", Float, nullable=False),
    Column("lon", Float, nullable=False),
)
zone = Table(
    "zone",
    pk(),
    Column("label", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False, server_default="provisional"),
    Column("temperature_band", Text),
    Column("moisture_band", Text),
    Column("source", Text, nullable=False),
)
ecoregion = Table(
    "ecoregion",
    pk(),
    Column("number", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
)
taxon = Table(
    "taxon",
    pk(),
    Column("code", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("name_key", Key, nullable=False, index=True),
    Column("common_name", Text, nullable=False, server_default=""),
    Column("release_type", Text),
    Column("hold_days", Integer, nullable=False),
    Column("rare", Integer, nullable=False, server_default="0"),
    Column("listed", Integer, nullable=False, server_default="0"),
    Column("look_alike_poisonous", Text),
)
taxon_calendar = Table(
    "taxon_calendar",
    pk(),
    ref("taxon", "taxon.id", index=False),
    ref("zone", "zone.id", null=True),
    Column("bloom_doy", Integer),
    Column("ripe_doy", Integer, nullable=False),
    Column("sd_days", Float, nullable=False),
    Column("lat", Float, nullable=False),
    Column("lon", Float, nullable=False),
    Column("elevation_ft", Float, nullable=False),
    Column("source", Text, nullable=False),
    UniqueConstraint("taxon", "zone"),
)
