"""Backup, restore and verify on both databases."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, text

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.people import system
from roster.files.kept import Kept
from roster.services import upkeep
from roster.store import dump, guards
from roster.store.base import db
from roster.store.engine import WRITE
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.wiring import Wiring
from tests.support.rows import fill


def writing() -> Any:
    return db.engine.connect().execution_options(**{WRITE: True})


def everything() -> dict[str, list[tuple[Any, ...]]]:
    """All rows but those of the journal, which a backup itself adds to."""
    with db.engine.connect() as connection:
        return {
            t.name: sorted((tuple(r) for r in connection.execute(select(t))), key=repr)
            for t in dump.tables()
            if not t.name.startswith("journal")
        }


def emptied() -> None:
    with dump.Loading():
        pass  # an empty load takes every row out


def add_person(store: Store) -> int:
    from roster.store.models.people import person

    store.unit.note("add", "person", 1, after={"name": "Ida"})
    return store.unit.insert(
        person, name="Ida", name_key="Ida", state="active", added_at=store.unit.at
    )


def set_key(app: Any, key: str | None) -> None:
    wiring: Wiring = app.extensions["roster"]
    app.extensions["roster"] = replace(wiring, config=replace(wiring.config, backup_key=key))


@pytest.mark.parametrize("key", [None, "a passphrase of the operator"], ids=["plain", "sealed"])
def test_a_backup_brings_back_every_row_file_and_guard(
    both: Any, tmp_path: Path, key: str | None
) -> None:
    set_key(both, key)
    with writing() as connection, connection.begin():
        fill(connection)
    kept = Kept(both.extensions["roster"].config.files)
    name = kept.keep(b"a signed page")
    before = everything()
    assert all(before.values())
    done = upkeep.backup(tmp_path / "all.backup")
    assert (done.files, done.sealed) == (1, key is not None)

    emptied()
    kept.path(name).unlink()
    assert not any(everything().values())
    upkeep.restore(tmp_path / "all.backup")

    after = everything()
    ended = {"session", "sign_in", "outbox"}
    assert {t: r for t, r in after.items() if t not in ended} == {
        t: r for t, r in before.items() if t not in ended
    }
    assert len(after["outbox"]) == len(before["outbox"])
    assert kept.read(name) == b"a signed page"
    with writing() as connection, connection.begin():
        assert guards.names(connection) == guards.expected()


def test_after_a_restore_nobody_is_signed_in_and_unsent_mail_waits_for_a_word(
    both: Any, tmp_path: Path
) -> None:
    with writing() as connection, connection.begin():
        fill(connection)
        connection.execute(text("UPDATE outbox SET state = 'waiting'"))
    assert everything()["session"]
    upkeep.backup(tmp_path / "all.backup")
    upkeep.restore(tmp_path / "all.backup", replace=True)
    assert everything()["session"] == everything()["sign_in"] == []
    with db.engine.connect() as connection:
        states = connection.execute(text("SELECT DISTINCT state, said FROM outbox")).all()
    assert [tuple(s) for s in states] == [("unknown", dump.RESTORED)]


def test_numbers_go_on_after_a_restore(both: Any, tmp_path: Path) -> None:
    first = write(add_person, actor=system("cli"))
    upkeep.backup(tmp_path / "all.backup")
    emptied()
    upkeep.restore(tmp_path / "all.backup")
    assert write(add_person, actor=system("cli")) > first
    assert upkeep.verify().holds


def test_a_backup_of_sqlite_restores_into_postgresql(
    app: Any, postgres_template: Any, tmp_path: Path, clock: Any
) -> None:
    write(add_person, actor=system("cli"))
    upkeep.backup(tmp_path / "all.backup")
    names = everything()["person"]
    with postgres_template.fresh(tmp_path, clock):
        upkeep.restore(tmp_path / "all.backup")
        assert everything()["person"] == names
        assert upkeep.verify().holds


test_a_backup_of_sqlite_restores_into_postgresql = pytest.mark.postgres(
    test_a_backup_of_sqlite_restores_into_postgresql
)


def test_a_database_in_use_is_not_overwritten_by_chance(both: Any, tmp_path: Path) -> None:
    write(add_person, actor=system("cli"))
    upkeep.backup(tmp_path / "all.backup")
    with pytest.raises(RuleBroken) as caught:
        upkeep.restore(tmp_path / "all.backup")
    assert caught.value.reasons[0].code == "database_in_use"
    assert upkeep.restore(tmp_path / "all.backup", replace=True).rows["person"] == 1


def test_a_cut_backup_changes_nothing(both: Any, tmp_path: Path) -> None:
    path = tmp_path / "all.backup"
    write(add_person, actor=system("cli"))
    upkeep.backup(path)
    path.write_bytes(path.read_bytes()[:-200])
    before = everything()
    with pytest.raises(BadInput) as caught:
        upkeep.restore(path, replace=True)
    assert caught.value.reason.code == "bad_backup"
    assert everything() == before


def test_a_folder_that_is_not_there_is_named(app: Any, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(BadInput) as caught:
        upkeep.backup(tmp_path / "file" / "all.backup")
    assert caught.value.field == "FILE"


EDITS = {
    "verb": "UPDATE journal SET verb = 'nothing' WHERE seq = 2",
    "actor": "UPDATE journal SET actor = 'V9' WHERE seq = 2",
    "a value": "UPDATE journal_value SET after = 'Ada' WHERE seq = 2",
    "a value taken away": "DELETE FROM journal_value WHERE seq = 2",
    "the last row taken away": "DELETE FROM journal WHERE seq = 3",
    "the head": "UPDATE journal_head SET seq = 2",
}


@pytest.mark.parametrize("edit", EDITS.values(), ids=EDITS.keys())
def test_an_edited_journal_is_found(both: Any, edit: str) -> None:
    for _ in range(3):
        write(add_person, actor=system("cli"))
    assert upkeep.journal_verify() == (3, [])
    with writing() as connection, connection.begin():
        guards.drop(connection)
        if "DELETE FROM journal WHERE" in edit:
            connection.execute(text("DELETE FROM journal_value WHERE seq = 3"))
        connection.execute(text(edit))
    length, faults = upkeep.journal_verify()
    assert faults, length


def test_an_erased_value_keeps_the_chain(both: Any) -> None:
    write(add_person, actor=system("cli"))
    with writing() as connection, connection.begin():
        connection.execute(
            text("UPDATE journal_value SET before = NULL, after = NULL, salt = NULL")
        )
    assert upkeep.journal_verify() == (1, [])


def test_verify_sees_a_counter_that_is_off(both: Any) -> None:
    with writing() as connection, connection.begin():
        fill(connection)
        connection.execute(text("UPDATE event SET taken = 5"))
    found = [d for d in upkeep.verify().differences if d.what == "event.taken"]
    assert [(d.kept, d.counted) for d in found] == [("5", "1")]


def test_the_trail_of_an_object_is_read_newest_first(both: Any) -> None:
    for _ in range(3):
        write(add_person, actor=system("cli"))
    lines = read(lambda s: s.journal.of("person", 1, limit=2))
    assert [line.seq for line in lines] == [3, 2]
    assert lines[0].values == (("name", None, "Ida"),)
    assert [x.seq for x in read(lambda s: s.journal.of("person", 1, before=2))] == [1]
