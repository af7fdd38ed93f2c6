"""Shortly before an event mail is too slow: who must be told by phone, and who knows already."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

PHONE_HOURS = 24
"""From so many hours before the start on people are told by phone (our own default)."""


@dataclass(frozen=True)
class Heard:
    """What reached one person. Numbers are those of the event's changes, 0 for none.

    `sent` the newest change that went out to them, `seen` the newest that they said they saw,
    `by_phone` the newest that had gone out when somebody told them (None: nobody did).
    """

    sent: int = 0
    seen: int = 0
    by_phone: int | None = None

    @property
    def is_told(self) -> bool:
        """Whether the person knows the newest that went out to them.

        What was told before a later change does not count: they are called again. Mail that was
        sent and not seen does not count either (common practice, no source).
        """
        saw = 0 < self.seen >= self.sent
        return saw or (self.by_phone is not None and self.by_phone >= self.sent)


def due_from(starts_at: datetime) -> datetime:
    """The instant after which people are told by phone."""
    return starts_at - timedelta(hours=PHONE_HOURS)


def is_due(starts_at: datetime, ends_at: datetime, now: datetime) -> bool:
    """Whether people are told by phone now: less than 24 hours before the start, to the end."""
    return due_from(starts_at) < now <= ends_at
