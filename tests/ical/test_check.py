"""The checker fails on broken samples: each breaks one thing in a feed or mail that was right."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from roster.ical.check import check_feed, check_invitation
from roster.ical.feeds import feed, prepared
from roster.ical.invites import Invitee, Party, cancel, request
from tests.ical.samples import BALSAMROOT, CALLED_OFF, EXPECTED

FEED = feed("Days", [prepared(e) for e in (BALSAMROOT, EXPECTED, CALLED_OFF)])
ORGANIZER, BEA = Party("crew@example.org", "Crew"), Invitee(Party("bea@example.org", "Bea"))
REQUEST = request(BALSAMROOT, ORGANIZER, BEA)
CANCEL = cancel(CALLED_OFF, ORGANIZER, BEA, whole=True)
UID = BALSAMROOT.uid.encode()


def put(old: bytes, new: bytes, times: int = 1) -> Callable[[bytes], bytes]:
    def change(content: bytes) -> bytes:
        assert old in content
        return content.replace(old, new, times)

    return change


BROKEN_FEEDS = {
    "RAW-BOM": lambda c: b"\xef\xbb\xbf" + c,
    "RAW-EOF": lambda c: c.removesuffix(b"\r\n"),
    "RAW-LF": put(b"VERSION:2.0\r\n", b"VERSION:2.0\n"),
    "RAW-CTRL": put(b"Marrow", b"Mar\x00row"),
    "RAW-UTF8": put(b"Marrow", b"Mar\xff\xferow"),
    "RAW-LONG": put(b"Marrow", b"Marrow" * 20),
    "RAW-SPLIT": put(b"NAME:Days", b"NAME:Day\xc3\r\n \xa9"),
    "SYN-TREE": put(b"END:VEVENT", b"END:VALARM"),
    "CAL-VERSION": put(b"VERSION:2.0\r\n", b""),
    "CAL-PRODID": put(b"PRODID", b"X-PRODID"),
    "METHOD-FEED": put(b"VERSION:2.0", b"VERSION:2.0\r\nMETHOD:PUBLISH"),
    "FEED-SOURCE": put(b"VERSION:2.0", b"VERSION:2.0\r\nSOURCE:https://x.example.org/secret"),
    "FEED-NAME": put(b"X-WR-CALNAME:Days", b"X-WR-CALNAME:Nights"),
    "FEED-TTL": put(b"X-PUBLISHED-TTL:PT4H", b"X-PUBLISHED-TTL:PT1H"),
    "UID-DUP": put(EXPECTED.uid.encode(), UID),
    "UID-HOST": put(b"UID:" + UID, b"UID:bea@example.org"),
    "EV-DTSTAMP": put(b"DTSTAMP:", b"X-STAMP:"),
    "UTC-DTSTAMP": put(b"DTSTAMP:20260201T123000Z", b"DTSTAMP:20260201T123000"),
    "STAMP-LM": put(b"LAST-MODIFIED:20260201", b"LAST-MODIFIED:20260202"),
    "STATUS": put(b"STATUS:CANCELLED", b"STATUS:CANCELED"),
    "SEQ": put(b"SEQUENCE:2", b"SEQUENCE:two"),
    "EV-END": put(b":20260620T123000", b":20260620T070000"),
    "EV-TYPE": put(b"DTEND;VALUE=DATE:20260711", b"DTEND:20260711T000000Z"),
    "TZID-DATE": put(b"DTSTART;VALUE=DATE", b"DTSTART;VALUE=DATE;TZID=America/Boise"),
    "EV-TRANSP": put(b"TRANSP:TRANSPARENT", b"TRANSP:OPAQUE", 2),
    "TXT-ESC": put(b"Upper car park\\,", b"Upper car park,"),
    "URL": put(b"URL:https://muster.example.org/events/418", b"URL:javascript:alert(1)"),
    "ALARM": put(b"ACTION:DISPLAY", b"ACTION:EMAIL"),
    "ORG-FEED": put(b"SEQUENCE:2", b"SEQUENCE:2\r\nORGANIZER:mailto:crew@example.org"),
    "TZ-MISSING": put(b"DTSTART;TZID=America/Boise", b"DTSTART;TZID=America/Denver"),
    "TZ-UNUSED": put(b"TZID=America/Boise", b"TZID=America/Denver", 99),
    "TZ-NAME": put(b"America/Boise", b"Our/Own", 99),
    "VTZ-OFFSET": put(b"DTSTART:20070311T020000", b"DTSTART:20070311T030000"),
    "VTZ-RULE": put(b"DTSTART:20070311T020000", b"DTSTART:20070311T020000Z"),
}
BROKEN_REQUESTS = {
    "ITIP-METHOD": put(b"METHOD:REQUEST", b"METHOD:PUBLISH"),
    "ITIP-ATTENDEE": put(b"ATTENDEE", b"X-ATTENDEE"),
    "ITIP-ORGANIZER": put(b"ORGANIZER", b"X-ORGANIZER"),
    "ITIP-STATUS": put(b"STATUS:CONFIRMED", b"STATUS:CANCELLED"),
    "ITIP-ONE": put(b"END:VEVENT\r\n", b"END:VEVENT\r\nBEGIN:VEVENT\r\nUID:x\r\nEND:VEVENT\r\n"),
}


def test_the_samples_are_right_before_they_are_broken() -> None:
    assert check_feed(FEED) == []
    assert check_invitation(REQUEST, "REQUEST") == []
    assert check_invitation(CANCEL, "CANCEL") == []


@pytest.mark.parametrize("code", BROKEN_FEEDS)
def test_a_broken_feed_is_named_by_its_fault(code: str) -> None:
    assert code in {p.code for p in check_feed(BROKEN_FEEDS[code](FEED))}


@pytest.mark.parametrize("code", BROKEN_REQUESTS)
def test_a_broken_request_is_named_by_its_fault(code: str) -> None:
    found = check_invitation(BROKEN_REQUESTS[code](REQUEST), "REQUEST")
    assert code in {p.code for p in found}


def test_a_cancel_that_does_not_count_up_is_a_fault() -> None:
    found = check_invitation(CANCEL.replace(b"SEQUENCE:3", b"SEQUENCE:0"), "CANCEL")
    assert [p.code for p in found] == ["SEQ-CANCEL"]


def test_a_zone_as_a_common_library_writes_it_is_found_an_hour_late() -> None:
    # The onset written as the wall clock after the change (03:00): an hour late in readers
    # that follow RFC 5545 section 3.6.5.
    late = FEED.replace(b"DTSTART:20070311T020000", b"DTSTART:20070311T030000")
    assert [p.code for p in check_feed(late)] == ["VTZ-OFFSET"]
