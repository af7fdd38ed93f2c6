"""The error tree says what happened and carries what a person needs to mend it."""

from __future__ import annotations

import pytest

from roster.domain.errors import BadInput, Conflict, NotAllowed, NotFound, RosterError, RuleBroken
from roster.domain.reasons import Reason


def test_a_broken_rule_carries_every_reason_in_order() -> None:
    error = RuleBroken(Reason(code) for code in ("no_lead", "too_few"))
    assert [r.code for r in error.reasons] == ["no_lead", "too_few"]
    assert str(error) == "no_lead, too_few"


def test_nothing_found_is_bad_input_that_names_kind_and_value() -> None:
    error = NotFound("person", "V9")
    assert isinstance(error, BadInput)
    assert (error.field, error.value, error.reason.code) == ("person", "V9", "not_found")
    assert error.reason.facts == {"kind": "person", "value": "V9"}


@pytest.mark.parametrize(
    "error",
    [RuleBroken([]), BadInput("day", "x", Reason("bad_day")), NotAllowed(), Conflict(Reason("x"))],
    ids=["rule", "input", "not allowed", "conflict"],
)
def test_every_error_for_a_person_is_of_one_tree(error: Exception) -> None:
    assert isinstance(error, RosterError)
