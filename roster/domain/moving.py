"""Moving a fixed event: whether who is placed must be asked again, and by when they answer."""

from __future__ import annotations

from datetime import datetime, timedelta

from roster.domain.spots import SpotRules, answer_by

SMALL_SHIFT = timedelta(minutes=60)
"""On the same day a shift up to this is told, not asked. Our own default."""
ANSWER_HOURS = 48
"""So long may somebody think who is asked again; never within the last day. Our own default."""


def asks_again(before: tuple[datetime, datetime], after: tuple[datetime, datetime]) -> bool:
    """Whether a move from one local start and end to another must be said yes to again.

    Another day always; on the same day an earlier start or a later end by more than an hour.
    """
    if before[0].date() != after[0].date() or before[1].date() != after[1].date():
        return True
    shifts = (before[0] - after[0], after[0] - before[0], after[1] - before[1])
    return max(shifts) > SMALL_SHIFT


def answer_again_by(starts_at: datetime, now: datetime) -> datetime:
    """By when who is asked again should answer: 48 hours, sooner near the start, never under 2."""
    return answer_by(starts_at, now, SpotRules(answer_hours=ANSWER_HOURS))


def silent_who_make_room(silent: int, waiting: int) -> int:
    """How many spots of who did not answer in time go to the waiting list: as many as wait."""
    return min(silent, waiting)
