"""Words of calendars and mails that are not in a template: days in full, labels, short lines."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from roster.words import formats
from roster.words.catalogue import translator
from roster.words.entry import Entry, mark

_WEEKDAYS = {
    "en": ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
    "es": ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"),
}
_MONTHS = {
    "en": (
        *("January", "February", "March", "April", "May", "June", "July", "August"),
        *("September", "October", "November", "December"),
    ),
    "es": (
        *("enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto"),
        *("septiembre", "octubre", "noviembre", "diciembre"),
    ),
}
SENTENCES: dict[str, Entry] = {
    "message_not_to_retry": Entry(
        mark("Message {number} is {state}; only one that failed can be tried again."),
        mark("Look at the list of messages: it says what became of each."),
    ),
    "job_not_to_retry": Entry(
        mark("The job slot {slot} is {state}; only one that failed can run again."),
        mark("Look at the list of jobs: it says what became of each."),
    ),
    "one_calendar": Entry(
        mark("Name one calendar: of a person, of a region, or the public one."),
        mark("Write feed V123, feed --region R, or feed --public."),
    ),
    "only_in_development": Entry(
        mark("{option} is for development only."),
        mark("Leave it out: the service goes by its own clock."),
    ),
    "bad_instant": Entry(
        mark("{value} is not a point in time."),
        mark("Write it as 2027-06-16T15:00Z."),
    ),
    "public_feed_off": Entry(
        mark("The public calendar is turned off."),
        mark("Set public_feed to yes in the settings of the programme if anybody may read it."),
    ),
}
PHRASES = {
    "called_off_title": mark("Called off: {title}"),
    "lead_title": mark("Lead: {title}"),
    "collector_title": mark("Data collector: {title}"),
    "at_place": mark("{title} at {place}"),
    "event_at": mark("{kind} at {place}"),
    "you_are": mark("You have a spot as {role}."),
    "you_lead": mark("You lead this event."),
    "expected_note": mark("The day is not fixed yet. It falls into this window."),
    "meet_at": mark("Meet: {meeting}"),
    "bring_list": mark("Bring: {kit}"),
    "latest": mark("What has changed and who to call: {url}"),
    # common practice, no source
    "kit": mark("2 litres of water, long trousers, closed shoes, gloves, sun hat, lunch"),
    "meet": mark("Meet"),
    "lead": mark("Lead"),
    "call": mark("Call"),
    "bring": mark("Bring"),
    "expect": mark("Expect"),
    "call_duty": mark("If the lead does not answer: {name}, duty person, {phone}"),
    "expected_between": mark("expected {days}"),
    "what": mark("What"),
    "when": mark("When"),
    "where": mark("Where"),
    "told_placed": mark("{name} has a spot as {role}."),
    "told_update": mark("Something has changed on an event where {name} has a spot."),
    "told_asked_again": mark("The event was moved; {name} is asked again and must answer."),
    "told_off": mark("The event is called off."),
    "told_cancelled": mark("{name} is no longer on the crew."),
    "told_offered": mark("A spot has come free for {name}, who must answer by {until}."),
    "told_waiting": mark("{name} is on the waiting list."),
    "told_reminder": mark("A reminder: {name} has a spot as {role}."),
    "told_safety": mark("There is news about safety for {name}: {text}"),
    "feed_person": mark("Seed Muster: {name}"),
    "feed_region": mark("Seed Muster: region {name}"),
    "feed_public": mark("{programme}: where help is wanted"),
    "moved_text": mark("The event has changed. Please read the page of the event."),
}


def phrase(code: str, language: str = "en", **facts: object) -> str:
    """A short line in a language, with its facts filled in."""
    return translator(language).gettext(PHRASES[code]).format(**facts)


def day_in_full(day: date, language: str = "en") -> tuple[str, str, str]:
    """Weekday, number of the day, and the rest: ("Sunday", "20", "June 2027")."""
    known = language if language in _WEEKDAYS else "en"
    weekday, month = _WEEKDAYS[known][day.weekday()], _MONTHS[known][day.month - 1]
    rest = f"de {month} de {day.year}" if known == "es" else f"{month} {day.year}"
    return weekday, str(day.day), rest


def hours(start: datetime, end: datetime, time_zone: str, language: str = "en") -> str:
    """From when to when, without the day: "07:00 to 12:30 PDT"."""
    zone = ZoneInfo(time_zone)
    whole = formats.span(start, end, time_zone, language)
    first = start.astimezone(zone).date()
    if first != end.astimezone(zone).date():
        return whole
    return whole.removeprefix(formats.day(first, language)).removeprefix(", ")


def window(first: date, last: date, language: str = "en") -> str:
    """An expected window: "expected Wed 1 Jul to Fri 10 Jul 2026"."""
    return phrase("expected_between", language, days=formats.days(first, last, language))
