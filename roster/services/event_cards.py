"""The event as a mail shows it: day, place and what one must know, in the reader's language."""

from __future__ import annotations

from roster.mail.wording import EventCard
from roster.store.event_values import EventRow
from roster.store.invitations import Revision
from roster.store.registry import Store
from roster.words import word
from roster.words.formats import day as day_words
from roster.words.formats import days, list_of, span
from roster.words.letters import day_in_full, hours, phrase, window


def as_revision(event: EventRow) -> Revision:
    """The event as it stands, for one that was never published under a number."""
    return Revision(
        n=event.n,
        sequence=event.sequence,
        stage=event.stage,
        date_state=event.date_state,
        local_start=event.local_start,
        local_end=event.local_end,
        time_zone=event.time_zone,
        starts_at=event.starts_at,
        ends_at=event.ends_at,
        title=event.title,
        place=event.site_name,
        meeting=event.meeting,
        why="",
        at=event.starts_at,
    )


def card(
    store: Store,
    event: EventRow,
    shown: Revision,
    language: str,
    *,
    with_people: bool = False,
) -> EventCard:
    """The card of a revision; `with_people` adds the lead, whom to call, and what to expect."""
    title, first = title_of(event, shown, language), shown.local_start.date()
    lines = [(phrase("meet", language), _meeting(shown))]
    if with_people:
        lines += _people(store, event, language)
    lines.append((phrase("bring", language), phrase("kit", language)))
    if with_people:
        lines += _hazards(store, event, language)
    if shown.date_state != "fixed":
        last = shown.local_end.date()
        return EventCard(
            title, shown.place, days(first, last, language), window(first, last, language),
            lines=tuple(lines),
        )  # fmt: skip
    weekday, number, rest = day_in_full(first, language)
    times = hours(shown.starts_at, shown.ends_at, shown.time_zone, language)
    return EventCard(
        title, shown.place, day_words(first, language), f"{rest}, {times}", weekday, number,
        tuple(lines),
    )  # fmt: skip


def title_of(event: EventRow, shown: Revision, language: str) -> str:
    """What the event is called, its place included."""
    if not shown.title:
        kind = word("event_kind", event.kind, language).capitalize()
        return phrase("event_at", language, kind=kind, place=shown.place)
    if shown.place.casefold() in shown.title.casefold():
        return shown.title
    return phrase("at_place", language, title=shown.title, place=shown.place)


def _meeting(shown: Revision) -> str:
    if not shown.meeting:
        return shown.place
    named = shown.place.casefold() in shown.meeting.casefold()
    return shown.meeting if named else f"{shown.meeting}, {shown.place}"


def _people(store: Store, event: EventRow, language: str) -> list[tuple[str, str]]:
    lines = []
    lead = store.invitations.lead_of(event.id)
    if lead:
        lines.append((phrase("lead", language), ", ".join(part for part in lead if part)))
    if event.duty_name and event.duty_phone:
        call = phrase("call_duty", language, name=event.duty_name, phone=event.duty_phone)
        lines.append((phrase("call", language), call))
    return lines


def _hazards(store: Store, event: EventRow, language: str) -> list[tuple[str, str]]:
    kinds = [note or kind.replace("_", " ") for kind, note in store.invitations.hazards(event.site)]
    return [(phrase("expect", language), list_of(kinds, language))] if kinds else []


def changes(before: Revision, now: Revision, language: str) -> list[tuple[str, str, str]]:
    """What differs between two revisions: label, as it was, as it is."""
    pairs = (
        ("what", before.title, now.title),
        ("when", _when(before, language), _when(now, language)),
        ("where", before.place, now.place),
        ("meet", before.meeting, now.meeting),
    )
    return [
        (phrase(code, language), was or "-", is_now or "-")
        for code, was, is_now in pairs
        if was != is_now
    ]


def _when(shown: Revision, language: str) -> str:
    if shown.date_state == "fixed":
        return span(shown.starts_at, shown.ends_at, shown.time_zone, language)
    return window(shown.local_start.date(), shown.local_end.date(), language)
