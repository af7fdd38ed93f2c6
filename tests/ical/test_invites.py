"""Invitations: request, update, cancel; one person each (RFC 5546, 6047)."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import icalendar
import pytest

from roster.ical.check import check_feed, check_invitation
from roster.ical.entries import Status
from roster.ical.invites import Answer, Invitee, Party, cancel, request
from tests.ical.samples import BALSAMROOT, CALLED_OFF, EXPECTED, by_icalendar, by_vobject

ORGANIZER = Party("crew+k3f9@example.org", "Lantern and Quill seed programme")
BEA = Invitee(Party("bea@example.org", "Bea Ashdown"))


def _event(content: bytes) -> icalendar.Event:
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    assert isinstance(event, icalendar.Event)
    return event


@pytest.mark.parametrize("entry", [BALSAMROOT, EXPECTED], ids=["fixed", "expected"])
def test_a_request_is_in_order_and_two_parsers_read_it_alike(entry: object) -> None:
    content = request(entry, ORGANIZER, BEA)  # type: ignore[arg-type]
    assert check_invitation(content, "REQUEST") == []
    assert by_icalendar(content) == by_vobject(content)


def test_a_request_asks_one_person_on_behalf_of_one_organizer() -> None:
    event = _event(request(BALSAMROOT, ORGANIZER, BEA))
    assert str(event["ATTENDEE"]) == "mailto:bea@example.org"
    assert dict(event["ATTENDEE"].params) == {
        "CN": "Bea Ashdown",
        "CUTYPE": "INDIVIDUAL",
        "PARTSTAT": "NEEDS-ACTION",
        "ROLE": "REQ-PARTICIPANT",
        "RSVP": "TRUE",
    }
    assert str(event["ORGANIZER"]) == "mailto:crew+k3f9@example.org"


def test_a_lead_is_the_chair_and_who_has_answered_is_not_asked_again() -> None:
    lead = replace(BEA, leads=True, answer=Answer.ACCEPTED)
    params = _event(request(BALSAMROOT, ORGANIZER, lead))["ATTENDEE"].params
    assert (params["ROLE"], params["PARTSTAT"], params["RSVP"]) == ("CHAIR", "ACCEPTED", "FALSE")


def test_feed_and_mail_carry_the_same_uid_sequence_and_start() -> None:
    event = _event(request(BALSAMROOT, ORGANIZER, BEA))
    assert str(event["UID"]) == BALSAMROOT.uid
    assert event["SEQUENCE"] == BALSAMROOT.sequence
    assert event["DTSTART"].dt.replace(tzinfo=None) == BALSAMROOT.when.local_start  # type: ignore[union-attr]


def test_an_update_keeps_the_uid_and_counts_up() -> None:
    moved = replace(BALSAMROOT, sequence=3, stamp=BALSAMROOT.stamp + timedelta(hours=1))
    old, new = (_event(request(e, ORGANIZER, BEA)) for e in (BALSAMROOT, moved))
    assert old["UID"] == new["UID"]
    assert (old["SEQUENCE"], new["SEQUENCE"]) == (2, 3)
    assert old["DTSTAMP"].dt < new["DTSTAMP"].dt


def test_calling_off_says_cancelled_and_un_inviting_says_nothing_of_the_event() -> None:
    whole = cancel(CALLED_OFF, ORGANIZER, BEA, whole=True)
    alone = cancel(replace(BALSAMROOT, sequence=3), ORGANIZER, BEA, whole=False)
    assert str(_event(whole)["STATUS"]) == "CANCELLED"
    assert "STATUS" not in _event(alone)  # RFC 5546 section 3.2.5
    for content in (whole, alone):
        assert check_invitation(content, "CANCEL") == []
        assert b"VALARM" not in content


def test_a_called_off_event_cannot_be_requested() -> None:
    with pytest.raises(ValueError, match="cancelled"):
        request(replace(BALSAMROOT, status=Status.CANCELLED), ORGANIZER, BEA)


@pytest.mark.parametrize("address", ["bea", "bea@example.org\r\nX:1 y", "", "a b@example.org"])
def test_what_is_no_address_is_refused(address: str) -> None:
    with pytest.raises(ValueError, match="address"):
        request(BALSAMROOT, ORGANIZER, Invitee(Party(address)))


@pytest.mark.parametrize("name", ['Bea "the, hat": Ash;down', "Zoë\r\nATTENDEE:x", "^n ^^ ^'"])
def test_a_hostile_name_stays_inside_its_parameter(name: str) -> None:
    content = request(BALSAMROOT, ORGANIZER, Invitee(Party("bea@example.org", name)))
    assert check_invitation(content, "REQUEST") == []
    read = _event(content)["ATTENDEE"].params["CN"]
    assert read == name.replace('"', "'").replace("\r\n", " ")


def test_an_invitation_is_no_feed() -> None:
    codes = {p.code for p in check_feed(request(BALSAMROOT, ORGANIZER, BEA))}
    assert {"METHOD-FEED", "ORG-FEED", "FEED-NAME", "FEED-TTL"} <= codes
