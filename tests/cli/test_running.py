"""What an operator runs: upgrade, backup, restore, doctor, config, verify, journal verify."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from flask import Flask
from sqlalchemy import text

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.people import system
from roster.services import people
from roster.store import guards
from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.land import land


def run(app: Flask, *words: str) -> Result:
    return app.test_cli_runner().invoke(args=list(words), standalone_mode=False)


def told(app: Flask, *words: str) -> dict[str, Any]:
    done = run(app, *words, "--json")
    assert done.exception is None, done.exception
    answer: dict[str, Any] = json.loads(done.output)
    return answer | {"exit": done.return_value}


def changed(statement: str) -> None:
    with db.engine.connect() as plain:
        connection = plain.execution_options(**{WRITE: True})
        with connection.begin():
            guards.drop(connection)
            connection.execute(text(statement))


def test_an_upgrade_of_what_is_at_head_changes_nothing_and_says_so(app: Flask) -> None:
    answer = told(app, "upgrade")
    assert (answer["answer"], answer["exit"], answer["result"]["migrated"]) == ("yes", 0, False)
    assert answer["result"]["backup"] is None


def test_an_upgrade_makes_lost_guards_again(app: Flask) -> None:
    changed("SELECT 1")
    assert told(app, "verify")["result"]["guards_missing"] != []
    assert told(app, "upgrade")["result"]["guards_missing"] == []


def test_a_backup_and_its_restore_answer_with_rows_and_seal(app: Flask, tmp_path: Path) -> None:
    land()
    file = tmp_path / "all.backup"
    done = told(app, "backup", str(file))
    assert done["result"]["sealed"] is False
    assert done["result"]["rows"]["site"] >= 1
    back = told(app, "restore", str(file), "--replace")
    assert (back["answer"], back["exit"]) == ("yes", 0)
    assert back["result"]["rows"] == done["result"]["rows"]
    assert "not sealed: set ROSTER_BACKUP_KEY" in run(app, "backup", str(file)).output


def test_a_restore_over_a_database_in_use_is_a_considered_no(app: Flask, tmp_path: Path) -> None:
    land()
    file = tmp_path / "all.backup"
    run(app, "backup", str(file))
    error = run(app, "restore", str(file)).exception
    assert isinstance(error, RuleBroken)
    assert [r.code for r in error.reasons] == ["database_in_use"]


@pytest.mark.parametrize("content", [None, b"", b"not a backup at all"])
def test_what_is_no_backup_is_bad_input(app: Flask, tmp_path: Path, content: bytes | None) -> None:
    file = tmp_path / "some.backup"
    if content is not None:
        file.write_bytes(content)
    error = run(app, "restore", str(file)).exception
    assert isinstance(error, BadInput)
    assert (error.field, error.value) == ("FILE", str(file))


def test_the_doctor_names_every_check_and_stops_only_for_what_does_not_hold(app: Flask) -> None:
    sound = told(app, "doctor")
    assert (sound["answer"], sound["exit"]) == ("yes", 0)
    assert {"database", "guards", "files", "disk", "mail", "jobs"} <= {
        c["name"] for c in sound["result"]
    }
    changed("SELECT 1")
    ill = told(app, "doctor")
    assert (ill["answer"], ill["exit"]) == ("no", 1)
    assert [c["name"] for c in ill["result"] if c["level"] == "stop"] == ["guards"]
    assert all(c["text"] for c in ill["result"])


def test_config_shows_every_setting_and_no_secret(app: Flask) -> None:
    done = run(app, "config")
    assert "ROSTER_DATABASE_URL" in done.output
    secret = app.config["SECRET_KEY"]
    assert secret not in done.output
    shown = {s["name"]: s for s in told(app, "config")["result"]}
    assert shown["ROSTER_SECRET_KEY"]["value"] == "***"
    assert shown["ROSTER_BACKUP_KEY"]["value"] is None


def test_verify_prints_what_differs_and_says_no(app: Flask) -> None:
    land()
    people.add_person(system("cli"), people.NewPerson("Ida Holt"))
    assert told(app, "verify")["answer"] == "yes"
    assert told(app, "journal", "verify")["exit"] == 0
    changed("UPDATE journal SET verb = 'forged' WHERE seq = 2")
    answer = told(app, "journal", "verify")
    assert (answer["answer"], answer["exit"]) == ("no", 1)
    assert answer["result"]["faults"][0]["seq"] == 2
    assert "journal row 2" in run(app, "verify").output
