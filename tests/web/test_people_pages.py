"""Pages of people: the list, the person, and what is recorded there."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from flask import Flask

from roster.domain.people import Role
from roster.services import clearance
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.staff import coordinator, regional
from tests.support.trained import (
    CLI,
    TODAY,
    Programme,
    adult,
    cleared_lead,
    programme,
    sign,
)


@pytest.fixture
def made(app: Flask) -> Programme:
    return programme()


@pytest.fixture
def desk(app: Flask, made: Programme) -> Browser:
    return Browser(app, coordinator("Marit Solberg"))


def yes(number: int, role: Role, day: date = TODAY) -> bool:
    return clearance.cleared(CLI, number, role, day).verdict.yes


def test_the_list_says_who_is_cleared_and_why_the_others_are_not(
    desk: Browser, made: Programme
) -> None:
    cleared_lead(made)
    adult("Wren Halvorsen")
    page = desk.text("/people?role=lead&on=2027-06-20")
    assert "One person is cleared to lead on Sun 20 Jun 2027." in page
    assert "to Sun 30 Apr 2028" in page
    assert "The step Seed ethics is not finished." in page
    only = desk.text("/people?role=lead&on=2027-06-20&show=cleared")
    assert "Ana Ferrer" in only
    assert "Wren Halvorsen" not in only
    found = desk.text("/people?q=halv")
    assert "Wren Halvorsen" in found
    assert "Ana Ferrer" not in found


def test_the_list_has_pages_and_an_order(desk: Browser, made: Programme) -> None:
    for n in range(60):
        adult(f"Person {n:02}")
    first, second = desk.text("/people"), desk.text("/people?page=2")
    assert "Person 00" in first
    assert "Person 59" not in first
    assert "Person 59" in second
    backwards = desk.text("/people?sort=name&dir=desc")
    assert backwards.index("Person 59") < backwards.index("Person 30")


def test_unassigned_people_are_found_and_a_regional_sees_the_own_region_only(
    app: Flask, desk: Browser, made: Programme
) -> None:
    adult("Ida Holt", postcode="99163")
    adult("Cal Moreno")
    nobody = desk.text("/people?region=none")
    assert "Cal Moreno" in nobody
    assert "Ida Holt" not in nobody
    theirs = Browser(app, regional("Ruth Calloway", made.region)).text("/people?region=none")
    assert "Ida Holt" in theirs
    assert "Cal Moreno" not in theirs


@pytest.mark.parametrize(
    "asked", ["role=king", "on=2027-02-30", "show=none", "page=x", "on=9999-12-31"]
)
def test_a_list_that_cannot_be_asked_is_refused(desk: Browser, asked: str) -> None:
    assert desk.get(f"/people?{asked}").status_code == 422


def test_the_spreadsheet_can_be_taken_in_again_and_holds_no_formula(
    desk: Browser, made: Programme
) -> None:
    cleared_lead(made, address="ana@example.org")
    adult("=1+1", address="plus@example.org")
    answer = desk.post("/people/spreadsheet?role=lead")
    rows = list(csv.DictReader(io.StringIO(answer.get_data().decode("utf-8-sig"))))
    by_name = {row["name"]: row for row in rows}
    assert by_name["Ana Ferrer"]["last valid day"] == "2028-04-30"
    assert "'=1+1" in by_name
    trail = read(lambda store: store.journal.of("people", "list"))
    assert [t.verb for t in trail] == ["exported"]


def test_a_person_is_added_by_hand_and_mistakes_are_said_at_the_field(
    desk: Browser, made: Programme
) -> None:
    form = {"name": "Ida Holt", "language": "en", "address": "ida@example.org"}
    sent = desk.post("/people/new", **form, born_on="1990-05-01", postcode="99163")
    assert sent.status_code == 303
    page = desk.text(sent.location)
    assert "Ida Holt" in page
    assert "Palouse" in page
    twice = desk.post("/people/new", **form)
    assert twice.status_code == 422
    assert "Somebody else signs in with this address." in twice.get_data(as_text=True)
    wrong = desk.post("/people/new", name="Ida", language="en", born_on="2027-13-01")
    assert wrong.status_code == 422


def test_the_page_of_a_person_answers_for_a_role_and_a_day(desk: Browser, made: Programme) -> None:
    number = cleared_lead(made)
    page = desk.text(f"/people/{number}?role=lead&on=2028-05-01")
    assert "No, not cleared to lead on Mon 1 May 2028" in page
    assert "the last valid day was Sun 30 Apr 2028" in page
    assert "Yes, cleared to lead on Sun 30 Apr 2028" in desk.text(
        f"/people/{number}?role=lead&on=2028-04-30"
    )
    assert desk.get("/people/9999").status_code == 404
    assert desk.get(f"/people/{number}?on=0001-01-01").status_code == 422


def test_a_recorded_step_clears_and_a_voided_one_does_not(desk: Browser, made: Programme) -> None:
    number = adult()
    sign(number, made, "release", date(2027, 5, 1))
    sent = desk.post(f"/people/{number}/record", step="ethics", done_on="2027-06-16")
    assert sent.status_code == 303
    assert yes(number, Role.CREW_MEMBER)
    (row,) = read(lambda store: store.training.completions_of([number]))
    assert desk.post(f"/people/{number}/finished/{row.id}/void", why="").status_code == 422
    assert yes(number, Role.CREW_MEMBER)
    desk.post(f"/people/{number}/finished/{row.id}/void", why="the wrong person")
    assert not yes(number, Role.CREW_MEMBER)


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"done_on": "2027-06-17"}, "that day is still to come"),
        ({"step": "juggling"}, "There is no step juggling."),
        ({"step": "field_day"}, "Seed ethics comes before Field day"),
        ({"own_until": "2027-06-15"}, "is before the day it was done"),
        ({"score": "101"}, "is not a mark between 0 and 100"),
        ({"done_on": "yesterday"}, "Not a valid date value"),
    ],
)
def test_a_step_that_cannot_be_recorded_is_said_at_its_field(
    desk: Browser, made: Programme, changed: dict[str, str], told: str
) -> None:
    number = adult()
    form = {"step": "ethics", "done_on": "2027-06-16"} | changed
    answer = desk.post(f"/people/{number}/record", **form)
    assert answer.status_code == 422
    assert told in answer.get_data(as_text=True)
    assert read(lambda store: store.training.completions_of([number])) == []


def test_papers_of_a_minor_are_recorded_and_signed_a_second_time(
    desk: Browser, made: Programme
) -> None:
    sent = desk.post("/people/new", name="Bea Lindqvist", language="en", born_on="2010-03-01")
    number = int(sent.location.rsplit("/", 1)[1])
    path = f"/people/{number}"
    guardian = {"name": "Olle Lindqvist", "address": "olle@example.org"}
    assert desk.post(f"{path}/guardian", **guardian).status_code == 303
    (stands,) = read(lambda store: store.people.guardians(number))
    form = {"signed_on": "2027-06-15", "way": "paper", "guardian": str(stands.id)}
    for code in ("consent", "care"):
        assert desk.post(f"{path}/sign", form=str(made.forms[code]), **form).status_code == 303
    assert "waits for the second sign" in desk.text(path)
    consent = next(
        s
        for s in read(lambda store: store.papers.signatures_of([number]))
        if s.kind == "guardian_consent"
    )
    desk.post(f"{path}/signatures/{consent.id}/second", way="call", on="2027-06-16")
    reasons = clearance.cleared(CLI, number, Role.CREW_MEMBER, TODAY).verdict.reasons
    assert [r.code for r in reasons] == ["step_missing"]
    refused = desk.post(f"{path}/sign", form=str(made.forms["consent"]), signed_on="2027-06-15",
                        way="paper")  # fmt: skip
    assert "none was named" in refused.get_data(as_text=True)


def test_a_suspension_is_recorded_shown_and_ended(desk: Browser, made: Programme) -> None:
    number = cleared_lead(made)
    path = f"/people/{number}"
    form = {"role": "lead", "kind": "suspended", "from_on": "2027-06-16"}
    assert desk.post(f"{path}/withhold", **form, last_day="2027-06-15").status_code == 422
    assert desk.post(f"{path}/withhold", **form, last_day="9999-12-31").status_code == 303
    assert not yes(number, Role.LEAD)
    assert "suspended" in desk.text(path)
    (row,) = read(lambda store: store.people.withheld_rows(number))
    desk.post(f"{path}/withheld/{row[0]}/give-back", why="settled")
    assert yes(number, Role.LEAD)


def test_what_is_told_of_a_person_is_changed(desk: Browser, made: Programme) -> None:
    number = adult("Wren Halvorsen", address="wren@example.org")
    form = {"name": "Wren Lund", "language": "es", "address": "wren@example.org",
            "born_on": "1990-05-01", "phone": "208 555 0142"}  # fmt: skip
    assert desk.post(f"/people/{number}/change", **form).status_code == 303
    row = read(lambda store: store.people.get(number))
    assert (row.name, row.language, row.phone) == ("Wren Lund", "es", "208 555 0142")
