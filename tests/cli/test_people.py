"""`person add`, `cleared`, `import`, `rebuild` through the whole command line: exit codes, JSON."""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from flask import Flask

from roster.domain.errors import BadInput, NotFound
from roster.services.clock import SetClock
from roster.store.transaction import read
from tests.support.sheets import as_csv, as_xlsx
from tests.support.trained import Programme, cleared_lead, programme

HEAD = ("Name", "E-mail", "Date of birth")
ROWS = (("Wren", "wren@example.org", "1990-05-01"), ("Ida", "ida@example.org", "1980-01-31"))


@pytest.fixture
def made(app: Flask) -> Programme:
    return programme()


def run(app: Flask, *words: str) -> Result:
    return app.test_cli_runner().invoke(args=list(words), standalone_mode=False)


def told(app: Flask, *words: str) -> dict[str, Any]:
    result = run(app, *words, "--json")
    assert result.exception is None, result.exception
    answer: dict[str, Any] = json.loads(result.output)
    return answer


def refused(app: Flask, *words: str) -> BadInput:
    result = run(app, *words)
    assert isinstance(result.exception, BadInput), result.exception
    return result.exception


def test_the_first_coordinator_is_added_by_name(app: Flask, made: Programme) -> None:
    words = ("person", "add", "Marit Solberg", "--address", "marit@example.org", "--of-age",
             "--staff-role", "coordinator")  # fmt: skip
    answer = told(app, *words)
    number = int(answer["result"]["person"][1:])
    actor = read(lambda store: store.access.actor_of(number))
    assert actor is not None
    assert actor.is_coordinator


def test_a_track_says_what_stands_before_its_role(app: Flask, made: Programme) -> None:
    words = ("person", "add", "Ida Holt", "--born", "1990-05-01", "--track", "crew", "--region",
             "palouse", "--home", "46.73,-117.18")  # fmt: skip
    answer = told(app, *words)
    assert [r["code"] for r in answer["reasons"]] == ["step_missing", "paper_missing"]
    row = read(lambda store: store.people.get(store.people.find(answer["result"]["person"])))
    assert (row.region_name, row.lat) == ("Palouse", 46.73)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--born", "31.5.1990"), "bad_day"),
        (("--home", "here"), "half_a_place"),
        (("--home", "99,0"), "no_such_place"),
        (("--region", "Nowhere"), "region_not_known"),
        (("--track", "juggling"), "not_found"),
        (("--address", "me"), "bad_address"),
    ],
)
def test_a_value_that_cannot_be_used_adds_nobody(
    app: Flask, made: Programme, words: tuple[str, str], code: str
) -> None:
    assert refused(app, "person", "add", "Ida Holt", *words).reason.code == code
    assert read(lambda store: store.people.count_all(None)) == 0


def test_cleared_answers_yes_with_the_last_valid_day(app: Flask, made: Programme) -> None:
    number = cleared_lead(made, address="ana@example.org")
    answer = told(app, "cleared", "ana@example.org", "--role", "lead", "--on", "2027-06-20")
    assert (answer["answer"], answer["result"]["until"]) == ("yes", "2028-04-30")
    plain = run(app, "cleared", f"V{number}", "--role", "lead", "--on", "2028-05-01")
    assert plain.return_value == 1
    assert "not cleared to lead on Mon 1 May 2028" in plain.output
    assert "the last valid day was Sun 30 Apr 2028" in plain.output


def test_cleared_asks_by_what_was_known_then(app: Flask, made: Programme, clock: SetClock) -> None:
    clock.forward(timedelta(days=2))
    number = cleared_lead(made)
    words = ("cleared", f"V{number}", "--role", "lead", "--on", "2027-06-01")
    assert told(app, *words, "--known", "2027-06-17")["answer"] == "no"
    assert told(app, *words, "--known", "2027-06-18")["answer"] == "yes"


@pytest.mark.parametrize(
    ("person", "on", "kind", "code"),
    [
        ("V999", "2027-06-20", NotFound, "not_found"),
        ("nobody@example.org", "2027-06-20", NotFound, "not_found"),
        ("V1", "20 June", BadInput, "bad_day"),
        ("V1", "2027-02-29", BadInput, "bad_day"),
    ],
)
def test_an_unknown_person_or_a_malformed_date_is_bad_input(
    app: Flask, made: Programme, person: str, on: str, kind: type[BadInput], code: str
) -> None:
    cleared_lead(made)
    error = refused(app, "cleared", person, "--role", "lead", "--on", on)
    assert isinstance(error, kind)
    assert error.reason.code == code


def test_an_import_is_tried_taken_in_and_taken_back(
    app: Flask, made: Programme, tmp_path: Path
) -> None:
    file = tmp_path / "people.csv"
    file.write_bytes(as_csv(HEAD, *ROWS))
    trial = told(app, "import", "people", str(file), "--dry-run")
    assert (trial["answer"], trial["result"]["new"]) == ("yes", 2)
    assert read(lambda store: store.people.count_all(None)) == 0
    batch = told(app, "import", "people", str(file))["result"]["batch"]
    assert read(lambda store: store.people.count_all(None)) == 2
    assert told(app, "import", "undo", str(batch))["result"]["rows"] == 2
    assert read(lambda store: store.people.count_all(None)) == 0


def test_a_trial_with_bad_rows_is_a_considered_no_and_names_them(
    app: Flask, made: Programme, tmp_path: Path
) -> None:
    file = tmp_path / "people.xlsx"
    file.write_bytes(as_xlsx(HEAD, *ROWS, ("Cal", "cal", date(1990, 1, 1))))
    trial = told(app, "import", "people", str(file), "--dry-run")
    assert trial["answer"] == "no"
    assert [r["row"] for r in trial["result"]["refused_rows"]] == [4]
    assert refused(app, "import", "people", str(file)).reason.code == "import_rows_refused"


def test_a_file_that_is_not_there_is_bad_input(app: Flask, made: Programme) -> None:
    assert refused(app, "import", "people", "/nowhere.csv").reason.code == "no_such_file"
    error = refused(app, "import", "undo", "7")
    assert isinstance(error, NotFound)


def test_rebuild_says_how_many_rows_there_are(app: Flask, made: Programme) -> None:
    cleared_lead(made)
    assert told(app, "rebuild")["result"]["held"] == 2
