"""Every unique key and every CHECK says no on both databases, and so do foreign keys."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import UniqueConstraint
from sqlalchemy.exc import IntegrityError

from roster.store.base import db
from roster.store.engine import WRITE
from tests.support.rows import DAY
from tests.support.wrong_rows import CHECKS, UNIQUES, accepted_by_checks, accepted_by_uniques


def writing() -> Any:
    return db.engine.connect().execution_options(**{WRITE: True})


def test_every_check_refuses_what_it_names(both: Any) -> None:
    assert len(CHECKS) > 40
    with writing() as connection, connection.begin() as whole:
        assert accepted_by_checks(connection) == []
        whole.rollback()


def test_every_unique_key_refuses_a_second_row(both: Any) -> None:
    assert len(UNIQUES) > 50
    with writing() as connection, connection.begin() as whole:
        assert accepted_by_uniques(connection) == []
        whole.rollback()


def test_a_row_without_its_parent_is_refused(both: Any) -> None:
    person = db.metadata.tables["away"]
    row = {"person": 999_999, "from_on": DAY, "until_on": DAY + timedelta(days=1)}
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), writing() as c, c.begin():
        c.execute(person.insert().values(**row))


def test_every_foreign_key_leads_an_index() -> None:
    missing = []
    for table in db.metadata.sorted_tables:
        leads = {tuple(c.name for c in i.columns)[:1] for i in table.indexes}
        leads |= {tuple(c.name for c in u.columns)[:1] for u in table.constraints
                  if isinstance(u, UniqueConstraint)}  # fmt: skip
        leads.add(tuple(c.name for c in table.primary_key.columns)[:1])
        missing += [f"{table.name}.{c.name}" for c in table.columns
                    if c.foreign_keys and (c.name,) not in leads]  # fmt: skip
    assert missing == []
