"""What calendars show of an event, for each audience and language; and the kept bytes of it.

The calendar libraries are loaded when first needed, so that starting the service stays quick.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from roster.store.feed_values import CalendarEvent
from roster.store.registry import Store
from roster.store.wiring import wiring
from roster.words import word
from roster.words.catalogue import LANGUAGES
from roster.words.letters import phrase

if TYPE_CHECKING:
    from roster.ical.entries import Entry

CREW, LEAD, COLLECTOR, REGION, PUBLIC = "crew", "lead", "data_collector", "region", "public"
AUDIENCES = (CREW, LEAD, COLLECTOR, REGION, PUBLIC)
REMINDER = timedelta(hours=24)


@dataclass(frozen=True)
class Reader:
    """For whom an event is shown: one of AUDIENCES, in a language."""

    audience: str
    language: str

    @property
    def key(self) -> str:
        """Under which the bytes are kept."""
        return f"{self.audience}:{self.language}"


def audience_of(role: str) -> str:
    """The audience of a person with this role on the event."""
    return role if role in (LEAD, COLLECTOR) else CREW


def event_url(number: int, audience: str = CREW) -> str:
    """The page that a calendar points to; it asks for signing in."""
    base = wiring().config.base_url
    if audience == LEAD:
        return f"{base}/field/{number}"
    if audience == REGION:
        return f"{base}/events/{number}"
    return f"{base}/help-wanted" if audience == PUBLIC else f"{base}/days"


def entry_of(event: CalendarEvent, reader: Reader) -> Entry:
    """The calendar entry of an event as this reader may see it."""
    from roster.ical.entries import Entry, Hours, Status, Window

    off = event.stage == "called_off"
    fixed = event.date_state == "fixed"
    status = Status.CONFIRMED if fixed else Status.TENTATIVE
    when: Window | Hours = Window(event.day, event.last_day)
    if fixed:
        when = Hours(event.local_start, event.local_end, event.time_zone)
    own = reader.audience in (CREW, LEAD, COLLECTOR)
    return Entry(
        uid=event.uid,
        sequence=event.sequence,
        stamp=event.stamp,
        created=event.made_at,
        when=when,
        status=Status.CANCELLED if off else status,
        summary=_summary(event, reader),
        description=_description(event, reader),
        location=_location(event, reader),
        url=event_url(event.id, reader.audience),
        reminders=(REMINDER,) if own else (),
    )


def title_of(event: CalendarEvent, language: str) -> str:
    """What an event is called, its place included."""
    if not event.title:
        kind = word("event_kind", event.kind, language)
        return phrase("event_at", language, kind=kind.capitalize(), place=event.site_name)
    if event.site_name.casefold() in event.title.casefold():
        return event.title
    return phrase("at_place", language, title=event.title, place=event.site_name)


def _summary(event: CalendarEvent, reader: Reader) -> str:
    title = title_of(event, reader.language)
    if event.stage == "called_off":
        return phrase("called_off_title", reader.language, title=title)
    prefix = {LEAD: "lead_title", COLLECTOR: "collector_title"}.get(reader.audience)
    return phrase(prefix, reader.language, title=title) if prefix else title


def _location(event: CalendarEvent, reader: Reader) -> str:
    # never where the plants stand: the meeting point, and for strangers the site's name alone
    if reader.audience == PUBLIC or not event.meeting:
        return event.site_name
    if event.site_name.casefold() in event.meeting.casefold():
        return event.meeting
    return f"{event.meeting}, {event.site_name}"


def _description(event: CalendarEvent, reader: Reader) -> str:
    language, lines = reader.language, []
    if event.date_state != "fixed":
        lines.append(phrase("expected_note", language))
    if reader.audience == LEAD:
        lines.append(phrase("you_lead", language))
    elif reader.audience in (CREW, COLLECTOR):
        role = word("role", COLLECTOR if reader.audience == COLLECTOR else "crew_member", language)
        lines.append(phrase("you_are", language, role=role))
    if reader.audience in (CREW, LEAD, COLLECTOR):
        if event.meeting:
            lines.append(phrase("meet_at", language, meeting=event.meeting))
        lines.append(phrase("bring_list", language, kit=phrase("kit", language)))
    lines.append(phrase("latest", language, url=event_url(event.id, reader.audience)))
    return "\n".join(lines)


def keep_texts(store: Store, number: int) -> None:
    """Make and keep the bytes of an event for every audience and language (its newest revision)."""
    from roster.ical.entries import vevent

    event = store.feeds.event(number)
    if event is None or event.stage == "draft":
        return
    readers = [Reader(a, language) for a in AUDIENCES for language in LANGUAGES]
    texts = {reader.key: vevent(entry_of(event, reader)) for reader in readers}
    store.feeds.keep_texts(number, event.n, texts)
