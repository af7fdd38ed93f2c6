"""An event's clock: local time at the meeting point into UTC, when a crew is due, when to ask."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from roster.domain.errors import BadInput
from roster.domain.reasons import Fact, Reason

LONGEST_EVENT = timedelta(days=14)
"""Nothing longer is one event (our own default)."""


def zone_named(name: str) -> ZoneInfo:
    """The time zone of that IANA name, or BadInput."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise BadInput("time_zone", name, Reason("time_zone_unknown", {"value": name})) from None


def to_utc(local: datetime, time_zone: str, field: str = "local_start") -> datetime:
    """The instant of a local time at the meeting point.

    A time that the clock skips in spring is refused with the next that exists; one that comes
    twice in autumn means the first (RFC 5545, 3.3.5: a repeated local time is its first).
    """
    if local.tzinfo is not None:
        raise BadInput(field, local, Reason("local_time_has_zone", {"value": local.isoformat()}))
    zone = zone_named(time_zone)
    instant = local.replace(tzinfo=zone, fold=0).astimezone(UTC)
    back = instant.astimezone(zone).replace(tzinfo=None)
    if back != local:
        facts: dict[str, Fact] = {
            "value": local.isoformat(sep=" ", timespec="minutes"),
            "next": back.isoformat(sep=" ", timespec="minutes"),
            "time_zone": time_zone,
        }
        raise BadInput(field, local, Reason("local_time_skipped", facts))
    return instant


def span_to_utc(
    local_start: datetime, local_end: datetime, time_zone: str
) -> tuple[datetime, datetime]:
    """Both instants of an event; the end must come after the start, within two weeks."""
    start, end = to_utc(local_start, time_zone), to_utc(local_end, time_zone, "local_end")
    if end <= start:
        raise BadInput("local_end", local_end, Reason("end_before_start"))
    if end - start > LONGEST_EVENT:
        days = LONGEST_EVENT.days
        raise BadInput("local_end", local_end, Reason("event_too_long", {"days": days}))
    return start, end


def window_to_utc(
    local_start: datetime, local_end: datetime, time_zone: str
) -> tuple[datetime, datetime]:
    """Both instants of an expected window, which may last for weeks; the end must come later."""
    start, end = to_utc(local_start, time_zone), to_utc(local_end, time_zone, "local_end")
    if end <= start:
        raise BadInput("local_end", local_end, Reason("end_before_start"))
    return start, end


def expected_back_at(ends_at: datetime, walk_out_minutes: int) -> datetime:
    """When the crew should be at the vehicles: the end plus the walk out."""
    return ends_at + timedelta(minutes=walk_out_minutes)


def overdue_clock_at(back_at: datetime, minutes_to_signal: int | None) -> datetime:
    """From when a crew that has not called counts as late: after the drive to the first signal.

    Unknown minutes to signal count as none, so that the clock never starts later than known.
    """
    return back_at + timedelta(minutes=minutes_to_signal or 0)
