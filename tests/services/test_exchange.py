"""Imports: looked over row by row, taken in whole or not at all, taken back; both databases."""

from datetime import date, timedelta

import pytest
from flask import Flask

from roster.domain.errors import BadInput, NotAllowed, NotFound, RuleBroken
from roster.domain.import_columns import ImportKind
from roster.domain.people import Grant, Role, StaffRole
from roster.services import clearance, exchange, people, training
from roster.services.clock import SetClock
from roster.store.people import PersonRow
from roster.store.transaction import read
from tests.support.sheets import as_csv, as_xlsx
from tests.support.trained import CLI, TODAY, adult, as_person, cleared_lead, programme, sign

PEOPLE, COMPLETIONS = ImportKind.PEOPLE, ImportKind.COMPLETIONS
HEAD = ("Name", "E-mail", "Date of birth", "ZIP", "Phone")
TWO = (
    ("Wren Halvorsen", "wren@example.org", "1990-05-01", "99163", "208 555 0142"),
    ("Søren Åkesson", "soren@example.org", "1975-12-31", "83843", ""),
)


def count() -> int:
    return read(lambda store: store.people.count_all(None))


def row(address: str) -> PersonRow:
    return read(lambda store: store.people.get(store.people.find(address)))


def outcomes(found: exchange.DryRun) -> list[str]:
    return [look.outcome.value for look in found.looks]


def test_a_trial_says_what_each_row_would_do_and_changes_nothing(both: Flask) -> None:
    programme()
    adult("Wren Halvorsen", address="WREN@example.org", phone="1 555 0100")
    adult("Ida Holt", address="ida@example.org")
    content = as_csv(
        HEAD, TWO[0], TWO[1], ("Ida Holt", "ida@example.org", "1990-05-01", "", ""),
        ("Cal", "cal(at)example.org", "", "", ""),
    )  # fmt: skip
    found = exchange.look_over(CLI, PEOPLE, "people.csv", content)
    assert outcomes(found) == ["changed", "new", "unchanged", "refused"]
    assert [look.line for look in found.looks] == [2, 3, 4, 5]
    assert ("phone", "1 555 0100", "208 555 0142") in found.looks[0].changes
    assert found.looks[3].reason is not None
    assert found.looks[3].reason.code == "bad_address"
    assert not found.can_be_taken_in
    assert count() == 2
    assert row("wren@example.org").phone == "1 555 0100"


def test_people_are_taken_in_with_address_region_and_day_of_majority(both: Flask) -> None:
    made = programme()
    batch = exchange.take_in(CLI, PEOPLE, "people.csv", as_csv(HEAD, *TWO))
    wren, soren = row("wren@example.org"), row("soren@example.org")
    assert (wren.region, wren.of_age_on, wren.phone) == (
        made.region, date(2008, 5, 1), "208 555 0142"
    )  # fmt: skip
    assert (soren.name, soren.region) == ("Søren Åkesson", None)
    assert read(lambda store: store.exchange.batch(batch)).row_count == 2  # type: ignore[union-attr]
    trail = read(lambda store: store.journal.of("batch", batch))
    assert [t.verb for t in trail] == ["imported"]
    again = exchange.look_over(CLI, PEOPLE, "people.csv", as_csv(HEAD, *TWO))
    assert outcomes(again) == ["unchanged", "unchanged"]
    assert adult("Next One") == max(wren.id, soren.id) + 1


def test_a_spreadsheet_is_read_like_a_csv_file(both: Flask) -> None:
    programme()
    rows = [(n, a, date.fromisoformat(b), z, p) for n, a, b, z, p in TWO]
    found = exchange.look_over(CLI, PEOPLE, "people.xlsx", as_xlsx(HEAD, *rows))
    assert outcomes(found) == ["new", "new"]
    exchange.take_in(CLI, PEOPLE, "people.xlsx", as_xlsx(HEAD, *rows))
    assert row("wren@example.org").born_on == date(1990, 5, 1)


def test_a_byte_order_mark_semicolons_and_columns_in_any_order_are_understood(app: Flask) -> None:
    programme()
    text = "Correo;Nombre;Fecha de nacimiento;Notes\nwren@example.org;Wren;1990-05-01;likes tea\n"
    found = exchange.look_over(CLI, PEOPLE, "gente.csv", text.encode("utf-8-sig"))
    assert outcomes(found) == ["new"]
    assert found.ignored == ("Notes",)


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("people.csv", as_csv(HEAD, ("Søren", "s@example.org"), encoding="latin-1"),
         "file_not_utf8"),
        ("people.xlsx", as_xlsx(HEAD, *TWO)[:2000], "file_broken"),
        ("people.xlsx", b"PK\x03\x04 and nothing more", "file_broken"),
        ("people.csv", b"", "file_empty"),
        ("people.csv", as_csv(HEAD), "file_empty"),
        ("people.csv", b"\x00\x01\x02", "file_not_a_table"),
        ("people.pdf", b"%PDF-1.7", "file_kind_unknown"),
        ("people.csv", as_csv(("Colour", "Taste"), ("red", "sweet")), "column_missing"),
        ("people.csv", as_csv(("Name", "Full name"), ("a", "b")), "column_twice"),
    ],
    ids=["latin-1", "cut off", "no zip", "nothing", "headings only", "bytes", "pdf", "other table",
         "twice"],
)  # fmt: skip
def test_a_file_that_cannot_be_used_is_refused_with_one_reason(
    app: Flask, name: str, content: bytes, code: str
) -> None:
    programme()
    for use in (exchange.look_over, exchange.take_in):
        with pytest.raises(BadInput) as refused:
            use(CLI, PEOPLE, name, content)
        assert refused.value.reason.code == code
    assert count() == 0


def test_three_bad_rows_of_forty_leave_everything_as_it_was(both: Flask) -> None:
    programme()
    rows = [
        (f"Person {n}", f"p{n}@example.org", "1990-13-01" if n in (3, 7, 31) else "1990-05-01")
        for n in range(1, 41)
    ]
    content = as_csv(HEAD[:3], *rows)
    with pytest.raises(BadInput) as refused:
        exchange.take_in(CLI, PEOPLE, "people.csv", content)
    facts = refused.value.reason.facts
    assert (facts["n"], facts["total"], facts["rows"]) == (3, 40, "4, 8, 32")
    assert facts["first"] == "birth date: 1990-13-01 is not a day of the calendar."
    assert count() == 0
    assert exchange.batches(CLI) == []


@pytest.mark.parametrize(
    ("second", "code"),
    [
        (("Somebody", "WREN@example.org", "1980-01-01"), "address_twice_in_file"),
        (("Ida Holt", "", ""), "person_of_that_name"),
    ],
    ids=["address twice", "name on record"],
)
def test_a_row_that_may_be_somebody_else_is_refused(
    app: Flask, second: tuple[str, ...], code: str
) -> None:
    programme()
    adult("Ida Holt")
    content = as_csv(HEAD[:3], TWO[0][:3], second)
    found = exchange.look_over(CLI, PEOPLE, "people.csv", content)
    assert outcomes(found) == ["new", "refused"]
    assert found.looks[1].reason is not None
    assert found.looks[1].reason.code == code


def test_a_row_with_the_number_changes_the_address_of_that_person(both: Flask) -> None:
    programme()
    number = adult("Wren Halvorsen", address="old@example.org")
    content = as_csv(("Number", "Address"), (f"V{number}", "new@example.org"))
    batch = exchange.take_in(CLI, PEOPLE, "moves.csv", content)
    assert row("new@example.org").id == number
    exchange.undo(CLI, batch)
    assert row("old@example.org").id == number
    with pytest.raises(NotFound):
        row("new@example.org")


def test_an_import_taken_back_leaves_no_person_and_can_be_taken_in_again(both: Flask) -> None:
    programme()
    adult("Ida Holt", address="ida@example.org")
    content = as_csv(HEAD, *TWO, ("Ida Holt", "ida@example.org", "1991-01-01", "", ""))
    batch = exchange.take_in(CLI, PEOPLE, "people.csv", content)
    assert row("ida@example.org").born_on == date(1991, 1, 1)
    assert exchange.undo(CLI, batch) == 3
    assert count() == 1
    assert row("ida@example.org").born_on == date(1990, 5, 1)
    with pytest.raises(RuleBroken) as refused:
        exchange.undo(CLI, batch)
    assert refused.value.reasons[0].code == "batch_undone"
    found = exchange.look_over(CLI, PEOPLE, "people.csv", content)
    assert outcomes(found) == ["new", "new", "changed"]
    exchange.take_in(CLI, PEOPLE, "people.csv", content)
    assert count() == 3


def test_an_import_that_was_built_on_is_not_taken_back(both: Flask) -> None:
    programme()
    batch = exchange.take_in(CLI, PEOPLE, "people.csv", as_csv(HEAD, *TWO))
    training.record_completion(CLI, row("wren@example.org").id, "ethics", TODAY)
    with pytest.raises(RuleBroken) as refused:
        exchange.undo(CLI, batch)
    (reason,) = refused.value.reasons
    assert (reason.code, reason.facts["name"]) == ("batch_built_on", "Wren Halvorsen")
    assert count() == 2
    with pytest.raises(NotFound):
        exchange.undo(CLI, batch + 1)


STEPS = ("Person", "Step", "Done on", "Valid until", "Mark")


def test_finished_steps_are_taken_in_and_clear_people(both: Flask) -> None:
    made = programme()
    number = adult(address="wren@example.org")
    sign(number, made, "release", date(2027, 5, 1))
    content = as_csv(
        STEPS,
        ("wren@example.org", "Seed ethics", "2027-05-01", "", ""),
        (f"V{number}", "field_day", "2027-05-02", "", ""),
        (number, "First-aid card", "2027-05-03", "2027-06-19", ""),
    )
    batch = exchange.take_in(CLI, COMPLETIONS, "steps.csv", content)
    lead = clearance.cleared(CLI, number, Role.LEAD, date(2027, 6, 18)).verdict
    assert (lead.yes, lead.until) == (True, date(2027, 6, 19))
    assert clearance.verify(CLI).differing == ()
    again = exchange.look_over(CLI, COMPLETIONS, "steps.csv", content)
    assert outcomes(again) == ["unchanged"] * 3
    with pytest.raises(RuleBroken):
        exchange.take_in(CLI, COMPLETIONS, "steps.csv", content)
    exchange.undo(CLI, batch)
    assert not clearance.cleared(CLI, number, Role.LEAD, date(2027, 6, 18)).verdict.yes
    assert clearance.verify(CLI).differing == ()


def test_a_corrected_step_is_ended_and_recorded_anew_and_comes_back(
    both: Flask, clock: SetClock
) -> None:
    number = cleared_lead(programme())
    content = as_csv(STEPS[:4], (f"V{number}", "aid", "2027-05-03", "2027-06-19"))
    found = exchange.look_over(CLI, COMPLETIONS, "steps.csv", content)
    assert found.looks[0].changes == (("own_until", "", "2027-06-19"),)
    before = read(lambda store: store.unit.at)
    clock.forward(timedelta(hours=1))
    batch = exchange.take_in(CLI, COMPLETIONS, "steps.csv", content)
    day = date(2027, 6, 20)
    assert not clearance.cleared(CLI, number, Role.LEAD, day).verdict.yes
    assert clearance.cleared(CLI, number, Role.LEAD, day, before).verdict.yes
    exchange.undo(CLI, batch)
    assert clearance.cleared(CLI, number, Role.LEAD, day).verdict.yes


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        (("nobody@example.org", "ethics", "2027-05-01", "", ""), "person_not_known"),
        (("V999", "ethics", "2027-05-01", "", ""), "person_not_known"),
        (("V1", "juggling", "2027-05-01", "", ""), "step_not_known"),
        (("V1", "signed", "2027-05-01", "", ""), "step_is_signed"),
        (("V1", "ethics", "05/01/2027", "", ""), "bad_day"),
        (("V1", "ethics", "2027-06-17", "", ""), "done_in_future"),
        (("V1", "ethics", "", "", ""), "cell_missing"),
        (("V1", "aid", "2027-05-01", "2027-04-30", ""), "own_end_before_done"),
        (("V1", "ethics", "2027-05-01", "", "many"), "bad_number"),
        (("V1", "ethics", "2027-05-01", "", "101"), "score_out_of_range"),
        (("V1", "ethics", "1980-05-01", "", ""), "done_before_birth"),
    ],
)
def test_a_finished_step_that_cannot_be_is_refused(
    app: Flask, cells: tuple[str, ...], code: str
) -> None:
    programme()
    adult()
    found = exchange.look_over(CLI, COMPLETIONS, "steps.csv", as_csv(STEPS, cells))
    assert found.looks[0].reason is not None
    assert found.looks[0].reason.code == code


def test_postcodes_give_home_places(both: Flask) -> None:
    programme()
    content = as_csv(("ZIP", "Lat", "Lon"), ("99163", "46.73", "-117.18"))
    batch = exchange.take_in(CLI, ImportKind.POSTCODES, "zip.csv", content)
    exchange.take_in(CLI, PEOPLE, "people.csv", as_csv(HEAD, *TWO))
    assert (row("wren@example.org").lat, row("wren@example.org").lon) == (46.73, -117.18)
    with pytest.raises(RuleBroken) as refused:
        exchange.undo(CLI, batch)
    assert refused.value.reasons[0].code == "batch_not_undoable"


def test_only_a_coordinator_of_the_programme_imports(both: Flask) -> None:
    made = programme()
    regional = adult("Marit Solberg")
    people.grant_role(CLI, regional, Grant(StaffRole.REGIONAL, made.region, TODAY, None))
    content = as_csv(HEAD, *TWO)
    for use in (exchange.look_over, exchange.take_in):
        with pytest.raises(NotAllowed):
            use(as_person(regional), PEOPLE, "people.csv", content)
    assert count() == 1


def test_the_file_of_a_trial_is_kept_and_then_forgotten(app: Flask) -> None:
    content = as_csv(HEAD, *TWO)
    name = exchange.keep_trial(content)
    assert exchange.kept_trial(name) == content
    exchange.forget_trial(name)
    for gone in (name, "../../etc/passwd"):
        with pytest.raises(BadInput) as refused:
            exchange.kept_trial(gone)
        assert refused.value.reason.code == "import_file_gone"
