"""The whole thread in a real browser, from the spreadsheet to the closed event.

At two widths, and once with scripts off: every form works without one.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from flask import Flask
from icalendar import Calendar
from playwright.sync_api import Page, expect

from roster.services.clock import SetClock
from tests.support import small_programme
from tests.support.chromium import AXE, DESK, PHONE, Watched

pytestmark = pytest.mark.browser
SATURDAY_MORNING = datetime(2027, 6, 19, 13, 40, tzinfo=UTC)  # 06:40 PDT
NOON = datetime(2027, 6, 19, 19, 10, tzinfo=UTC)


class Thread:
    """One run of the thread: windows of the people in it, and the worker that sends the mail."""

    def __init__(self, app: Flask, open_window: Callable[..., Watched], how: tuple) -> None:
        self.app, self.open_window = app, open_window
        self.size, self.options = how
        self.windows: dict[str, Watched] = {}

    def page(self, who: str, path: str) -> Page:
        """A page in the window of a person, who signs in by mail at the first look."""
        if who not in self.windows:
            self.windows[who] = self.open_window(self.size, **self.options)
            self.sign_in(self.windows[who], f"{who}@example.org")
        watched = self.windows[who]
        page = watched.go(path)
        if "/sign-in" in page.url:  # staff are signed out after some hours
            self.sign_in(watched, f"{who}@example.org")
            page = watched.go(path)
        watched.no_sideways_scroll()
        return page

    def sign_in(self, watched: Watched, address: str) -> None:
        """Ask for a code, read it in the mail, type it."""
        page = watched.go("/sign-in")
        page.get_by_label("E-mail address").fill(address)
        page.get_by_role("button", name="Send a link and code").click()
        code = self.newest_code()
        page.get_by_label("Code from the mail").fill(code)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url(lambda url: "/sign-in" not in url)

    def newest_code(self) -> str:
        """The code of the newest message that went out."""
        reader = self.open_window(DESK)
        page = reader.go("/outbox")
        page.locator("tbody tr").first.get_by_role("link").click()
        text = page.locator("pre").first.inner_text()
        reader.context.close()
        found = re.search(r"\b[0-9A-Z]{4}-[0-9A-Z]{4}\b", text)
        assert found, text
        return found[0]

    def work(self) -> None:
        """One pass of the worker: what is due goes out."""
        self.app.extensions["roster_jobs"].once()


NO_SCRIPT = {"java_script_enabled": False}


@pytest.fixture(
    params=[(PHONE, {}), (DESK, {}), (DESK, NO_SCRIPT)],
    ids=["390", "1280", "1280 without a script"],
)
def thread(app: Flask, open_window: Callable[..., Watched], request) -> Thread:
    """A thread on a programme with nobody but its staff."""
    small_programme.build()
    return Thread(app, open_window, request.param)


def take_in(thread: Thread, kind: str, sheet: str, tmp_path: Path) -> None:
    """The coordinator looks a spreadsheet over and takes it in."""
    file = tmp_path / f"{kind}.csv"
    file.write_text(sheet, encoding="utf-8")
    page = thread.page("marit.solberg", "/import")
    page.locator(f"input[name=kind][value={kind}]").check()
    page.locator("#file").set_input_files(file)
    page.get_by_role("button", name="See what it would do").click()
    thread.windows["marit.solberg"].no_sideways_scroll()
    page.get_by_role("button", name="Take in all rows").click()
    expect(page.locator(".told")).to_contain_text("is taken in")


def create_event(thread: Thread) -> str:
    """An event on Saturday, opened for sign-up; gives its path."""
    page = thread.page("marit.solberg", "/events/new")
    page.locator("#site").select_option(label="Marrow Butte")
    page.get_by_role("button", name="Go on with this site").click()
    page.get_by_role("checkbox", name="arrowleaf balsamroot").check()
    page.locator("#day").fill("2027-06-19")
    page.locator("#start_time").fill("07:00")
    page.locator("#end_time").fill("12:30")
    page.locator("#capacity").fill("4")
    page.locator("#vehicles").fill("2")
    page.locator("#duty_person").select_option(label="Dale Whitcomb")
    page.locator("#stand_in").select_option(label="Imke Raske")
    page.get_by_role("button", name="Create the draft").click()
    path = re.sub(r"^https?://[^/]+", "", page.url)
    page.get_by_role("button", name="Open for sign-up").click()
    return path


def ask_and_agree(thread: Thread, path: str, name: str, role: str) -> None:
    """The coordinator asks; the person says yes on their own page."""
    page = thread.page("marit.solberg", path)
    page.get_by_role("heading", name=role, exact=False).locator(
        "xpath=following::button[contains(., 'Ask')]"
    ).filter(has_text=name).first.click()
    who = name.lower().replace(" ", ".")
    mine = thread.page(who, "/days")
    mine.get_by_role("button", name="Yes, I will").first.click()


def test_from_the_spreadsheet_to_the_closed_event(thread: Thread, clock: SetClock, tmp_path: Path):
    take_in(thread, "people", small_programme.PEOPLE_SHEET, tmp_path)
    take_in(thread, "completions", small_programme.STEPS_SHEET, tmp_path)
    path = create_event(thread)
    ask_and_agree(thread, path, "Ana Ferrer", "As lead")
    ask_and_agree(thread, path, "Mina Sato", "As data collector")
    for who in ("bea.lindqvist", "pavel.dvorak"):
        page = thread.page(who, "/help-wanted")
        page.get_by_role("button", name="Sign up").click()
        expect(thread.page(who, "/days").locator("body")).to_contain_text("Marrow Butte")
    page = thread.page("rosa.iniguez", "/help-wanted")
    page.get_by_role("button", name="Join the waiting list").click()
    thread.page("marit.solberg", path).get_by_role("button", name="Mark it ready").click()

    clock.forward(timedelta(minutes=11))  # mail that can wait waits ten, so that undo may stop it
    thread.work()
    feed_holds_the_event(thread)
    play_the_day(thread, clock, path)

    page = thread.page("marit.solberg", path)
    expect(page.locator("body")).to_contain_text("collected")
    if AXE.exists() and not thread.options:
        assert thread.windows["marit.solberg"].axe() == []


def feed_holds_the_event(thread: Thread) -> None:
    """Bea's private feed, fetched as a calendar programme does, holds the event, confirmed."""
    page = thread.page("bea.lindqvist", "/calendar")
    found = re.search(r"/feeds/[^\s\"<]+\.ics", page.content())
    assert found
    answer = page.request.get(thread.windows["bea.lindqvist"].address + found[0])
    assert answer.status == 200
    (event,) = Calendar.from_ical(answer.body()).walk("VEVENT")
    assert str(event["STATUS"]) == "CONFIRMED"
    assert event["DTSTART"].dt.isoformat() == "2027-06-19T07:00:00-07:00"
    invitations = list(Path(thread.app.instance_path, "mail").glob("*"))
    assert any(b"text/calendar" in one.read_bytes() for one in invitations)


def play_the_day(thread: Thread, clock: SetClock, path: str) -> None:
    """The lead's day on the field sheet."""
    number = path.rsplit("/", 1)[1].split("?")[0]
    clock.at = SATURDAY_MORNING
    lead, field = "ana.ferrer", f"/field/{number}"
    page = thread.page(lead, field)
    page.get_by_role("link", name="Say who is here").click()
    for box in page.get_by_label("Here", exact=True).all():
        box.check(force=True)
    page.get_by_role("button", name="Keep who is here").click()
    page = thread.page(lead, f"{field}/briefing")
    for box in page.locator("input[name=topic], input[name=spot]").all():
        box.check(force=True)
    page.get_by_role("button", name="The briefing was spoken").click()
    page = thread.page(lead, f"{field}/crew")
    page.get_by_role("button", name="Go out").click()
    clock.at = NOON
    page = thread.page(lead, f"{field}/count")
    for box in page.locator("input[name=spot]").all():
        box.check(force=True)
    page.get_by_role("button", name="Count in").click()
    page = thread.page(lead, f"{field}/finish")
    page.get_by_label("collected", exact=True).check(force=True)
    page.get_by_role("button", name="Close the event").click()
    expect(page.locator("body")).to_contain_text("Closed")
