"""Reasons carry codes and facts, and compare by both."""

from __future__ import annotations

from datetime import date

from roster.domain.reasons import Finding, Level, Reason


def test_reasons_are_equal_by_code_and_facts() -> None:
    one = Reason("step_lapsed", {"step": "First aid", "day": date(2027, 6, 19)})
    same = Reason("step_lapsed", {"day": date(2027, 6, 19), "step": "First aid"})
    other = Reason("step_lapsed", {"step": "First aid", "day": date(2027, 6, 20)})
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert len({one, same, other}) == 2


def test_a_finding_is_a_level_and_one_reason() -> None:
    finding = Finding(Level.STOP, Reason("no_lead"))
    assert (finding.level.value, finding.reason.code) == ("stop", "no_lead")
