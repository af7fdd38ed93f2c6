"""Invitations by mail (iMIP): request, update and cancel, each for one person alone.

RFC 5546 sections 3.2.2 and 3.2.5; RFC 6047. An update is a request with the same UID and a
higher SEQUENCE, or the same SEQUENCE and a later stamp where neither time nor status moved.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from icalendar import Event, vCalAddress

from roster.ical.entries import Entry, Status, component
from roster.ical.lines import clean, line
from roster.ical.timezones import vtimezone

PRODUCT = "-//Seed Muster//Mail 1//EN"


class Method(StrEnum):
    """METHOD of the calendar and `method=` of the mail part that carries it."""

    REQUEST = "REQUEST"
    CANCEL = "CANCEL"


class Answer(StrEnum):
    """PARTSTAT: what the person has said so far."""

    NEEDS_ACTION = "NEEDS-ACTION"
    ACCEPTED = "ACCEPTED"
    TENTATIVE = "TENTATIVE"
    DECLINED = "DECLINED"


@dataclass(frozen=True)
class Party:
    """A name and a mail address, of the programme's answering box or of the person asked."""

    address: str
    name: str = ""


@dataclass(frozen=True)
class Invitee:
    """The one person invited; `leads` makes them the chair in their calendar."""

    party: Party
    answer: Answer = Answer.NEEDS_ACTION
    leads: bool = False


def request(entry: Entry, organizer: Party, invitee: Invitee) -> bytes:
    """The REQUEST that invites a person, or tells them that the event changed."""
    if entry.status is Status.CANCELLED:
        raise ValueError("a called-off event is cancelled, not requested")
    return _calendar(Method.REQUEST, entry, _peopled(entry, organizer, invitee))


def cancel(entry: Entry, organizer: Party, invitee: Invitee, *, whole: bool) -> bytes:
    """The CANCEL for one person; `whole` when the event itself is called off.

    Someone who merely is no longer on the crew gets one without STATUS (RFC 5546 section
    3.2.5), or their calendar would say that nobody goes. SEQUENCE must be above the last
    one this person was sent.
    """
    event = _peopled(entry, organizer, invitee)
    del event["STATUS"]
    if whole:
        event.add("status", Status.CANCELLED.value)
    event.subcomponents.clear()  # no alarm in a cancellation
    return _calendar(Method.CANCEL, entry, event)


def _peopled(entry: Entry, organizer: Party, invitee: Invitee) -> Event:
    event = component(entry)
    event.add("organizer", _address(organizer), encode=False)
    attendee = _address(invitee.party)
    attendee.params["CUTYPE"] = "INDIVIDUAL"
    attendee.params["ROLE"] = "CHAIR" if invitee.leads else "REQ-PARTICIPANT"
    attendee.params["PARTSTAT"] = invitee.answer.value
    open_question = invitee.answer is Answer.NEEDS_ACTION
    attendee.params["RSVP"] = "TRUE" if open_question else "FALSE"
    event.add("attendee", attendee, encode=False)
    return event


def _address(party: Party) -> vCalAddress:
    address = clean(party.address)
    if "@" not in address or " " in address:
        raise ValueError(f"not a mail address: {address!r}")
    written = vCalAddress(f"mailto:{address}")
    if party.name:
        written.params["CN"] = clean(party.name).replace('"', "'")
    return written


def _calendar(method: Method, entry: Entry, event: Event) -> bytes:
    head = [
        line("BEGIN", "VCALENDAR"),
        line("VERSION", "2.0"),
        line("PRODID", PRODUCT),
        line("CALSCALE", "GREGORIAN"),
        line("METHOD", method.value),
    ]
    zone = [vtimezone(entry.time_zone)] if entry.time_zone else []
    return b"".join([*head, *zone, bytes(event.to_ical()), line("END", "VCALENDAR")])
