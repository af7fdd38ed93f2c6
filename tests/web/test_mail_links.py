"""Every address that a mail or a calendar points to is a page of ours."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest
from flask import Flask
from werkzeug.exceptions import NotFound

from roster.services.calendar_entries import AUDIENCES, event_url
from roster.services.clock import SetClock
from tests.services.test_letters import sent_after, text_of
from tests.support.crew_mail import ask, call_off, move, published, put


def leads_somewhere(app: Flask, url: str) -> bool:
    try:
        app.url_map.bind("127.0.0.1").match(urlsplit(url).path, method="GET")
    except NotFound:
        return False
    return True


@pytest.mark.parametrize("audience", AUDIENCES)
def test_the_page_of_a_calendar_entry_is_there(app: Flask, audience: str) -> None:
    assert leads_somewhere(app, event_url(1, audience))


def test_the_pages_of_mails_are_there(app: Flask, clock: SetClock) -> None:
    from datetime import timedelta

    world = published(2)
    put(world, "volunteer", "placed")
    put(world, "regional", "waiting", line_no=1)
    ask(world, "coordinator")
    sent = sent_after(clock).sent
    move(world, timedelta(hours=1))
    sent += sent_after(clock).sent
    call_off(world, "Smoke.")
    sent += sent_after(clock).sent
    urls = {word for mail in sent for word in text_of(mail).split() if "://" in word}
    assert len(urls) > 5
    assert [url for url in sorted(urls) if not leads_somewhere(app, url)] == []


def test_an_address_that_is_no_page_is_noticed(app: Flask) -> None:
    assert not leads_somewhere(app, "http://127.0.0.1:8000/no-such-page")
