"""Pages of import, and My training: a trial first, then whole or not at all; steps and papers."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

import pytest
from flask import Flask

from roster.domain.people import Role
from roster.services import clearance, training
from roster.store.transaction import read
from tests.support.browser import Browser
from tests.support.sheets import as_csv, as_xlsx
from tests.support.staff import coordinator
from tests.support.trained import CLI, TODAY, Programme, adult, as_person, minor, programme


@pytest.fixture
def made(app: Flask) -> Programme:
    return programme()


@pytest.fixture
def desk(app: Flask, made: Programme) -> Browser:
    return Browser(app, coordinator("Marit Solberg"))


def yes(number: int, role: Role, day: date = TODAY) -> bool:
    return clearance.cleared(CLI, number, role, day).verdict.yes


def upload(desk: Browser, content: bytes, name: str = "people.csv", kind: str = "people") -> Any:
    fields = {"kind": kind, "file": (io.BytesIO(content), name)}
    return desk.post("/import", **fields)


HEAD = ("Name", "E-mail", "Date of birth")


def test_a_spreadsheet_is_looked_over_taken_in_and_taken_back(
    desk: Browser, made: Programme
) -> None:
    trial = upload(desk, as_xlsx(HEAD, ("Wren", "wren@example.org", date(1990, 5, 1))),
                   "people.xlsx").get_data(as_text=True)  # fmt: skip
    assert "Every row can be used. Nothing was changed yet." in trial
    kept = trial.split('name="kept" value="')[1].split('"')[0]
    form = {"kind": "people", "name": "people.xlsx", "kept": kept}
    operation = "0b8f3d9e-30a2-4a0e-9f0a-0f3c1e2d4c5b"
    assert desk.post("/import/take", **form, op=operation).status_code == 303
    assert read(lambda store: store.people.address_owner("wren@example.org"))
    page = desk.text("/import")
    assert "people.xlsx" in page
    (batch,) = read(lambda store: store.exchange.batches(5))
    assert desk.post(f"/import/{batch.id}/undo").status_code == 303
    assert read(lambda store: store.people.address_owner("wren@example.org")) is None
    assert desk.post(f"/import/{batch.id}/undo").status_code == 409


@pytest.mark.parametrize(
    ("content", "name", "told"),
    [
        (as_csv(HEAD, ("Søren", "s@example.org"), encoding="latin-1"), "people.csv",
         "is not in UTF-8"),
        (as_xlsx(HEAD, ("W", "w@example.org"))[:3000], "people.xlsx", "not a whole XLSX file"),
        (b"%PDF-1.7", "people.pdf", "is neither CSV nor XLSX"),
        (b"", "people.csv", "holds no rows"),
    ],
    ids=["latin-1", "cut off", "pdf", "empty"],
)  # fmt: skip
def test_a_file_that_cannot_be_read_is_said_at_its_field(
    desk: Browser, made: Programme, content: bytes, name: str, told: str
) -> None:
    answer = upload(desk, content, name)
    assert answer.status_code == 422
    assert told in answer.get_data(as_text=True)


def test_a_trial_with_a_bad_row_names_it_and_offers_no_button(
    desk: Browser, made: Programme
) -> None:
    rows = (("Wren", "wren@example.org", "1990-05-01"), ("Cal", "cal", "1990-05-01"))
    trial = upload(desk, as_csv(HEAD, *rows)).get_data(as_text=True)
    assert "One row cannot be used. Nothing was changed." in trial
    assert "cal is not a mail address." in trial
    assert 'name="kept"' not in trial
    gone = desk.post("/import/take", kind="people", name="x.csv", kept="0" * 64)
    assert gone.status_code == 422


def test_my_training_shows_the_next_step_and_takes_my_word(app: Flask, made: Programme) -> None:
    number = adult("Wren Halvorsen")
    me = Browser(app, number)
    page = me.text("/training")
    assert "2 things more, and you are cleared to be on a crew." in page
    assert "Seed ethics" in page
    sent = me.post("/training/report", step="ethics", done_on="2027-06-16")
    assert sent.status_code == 303
    assert "Read and sign release" in me.text("/training")
    later = me.post("/training/report", step="ethics", done_on="2027-06-17")
    assert later.status_code == 422
    assert "that day is still to come" in later.get_data(as_text=True)


def test_i_sign_the_paper_that_i_was_shown(app: Flask, made: Programme) -> None:
    number = adult("Wren Halvorsen")
    training.record_completion(as_person(number), number, "ethics", TODAY)
    me = Browser(app, number)
    path = f"/training/papers/{made.forms['release']}"
    assert "Text of the release." in me.text(path)
    assert me.post(path, typed_name="").status_code == 422
    assert me.post(path, typed_name="Wren Halvorsen", agreed="y").status_code == 303
    assert yes(number, Role.CREW_MEMBER)
    assert "Cleared to" in me.text("/training")
    consent = made.forms["consent"]
    assert me.get(f"/training/papers/{consent}").status_code == 404


def test_a_minor_sees_what_the_guardian_still_has_to_do_and_signs_nothing_alone(
    app: Flask, made: Programme
) -> None:
    number = minor(made)
    young = Browser(app, number)
    assert "Cleared today: crew member." in young.text("/training")
    assert "not asked of a minor" in young.text("/training?track=crew")
    lead = young.text("/training?track=lead")
    assert "Too young to lead" in lead
    path = f"/training/papers/{made.forms['agreement']}"
    refused = young.post(path, typed_name="Bea", agreed="y")
    assert refused.status_code == 422


def test_i_say_whom_to_call_and_nobody_reads_it_on_a_page(app: Flask, made: Programme) -> None:
    me = Browser(app, adult())
    form = {"name": "June Halvorsen", "phone": "208 555 0177", "relation": "sister"}
    assert me.post("/training/emergency-contact", **form).status_code == 303
    assert "208 555 0177" not in me.text("/training/emergency-contact")
    assert "208 555 0177" not in me.text("/training")
