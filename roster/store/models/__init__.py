"""One file of tables per subject; importing this package fills the metadata."""

from roster.store.models import (
    access,
    events,
    exchange,
    field,
    journal,
    land,
    messages,
    papers,
    people,
    programme,
    training,
)

__all__ = [
    "access",
    "events",
    "exchange",
    "field",
    "journal",
    "land",
    "messages",
    "papers",
    "people",
    "programme",
    "training",
]
