"""The head count. Common practice, no source: nobody is lost at the end of the day."""

from datetime import UTC, datetime

import pytest

from roster.domain.headcount import Counted, Way, against, closing_findings, out_now, to_hand_over
from roster.domain.reasons import Level

AT = datetime(2027, 6, 20, 14, 24, tzinfo=UTC)
BEA = Counted(1, "Bea Lindqvist", way=Way.OUT, at=AT)
TEO = Counted(2, "Teo Marsh", is_minor=True, way=Way.IN, at=AT)


def codes(crew):
    return [f.reason.code for f in closing_findings(crew)]


@pytest.mark.parametrize(
    ("counted", "way", "to_whom", "code"),
    [
        (Counted(1, "B"), Way.OUT, "", None),
        (Counted(1, "B", way=Way.IN), Way.OUT, "", None),
        (Counted(1, "B", way=Way.OUT), Way.OUT, "", "already_counted_out"),
        (Counted(1, "B", way=Way.OUT), Way.IN, "", None),
        (Counted(1, "B"), Way.IN, "", "not_counted_out"),
        (Counted(1, "B", way=Way.IN), Way.IN, "", "not_counted_out"),
        (Counted(1, "B", way=Way.IN), Way.HANDED_OVER, "K", "only_minors_handed_over"),
        (TEO, Way.HANDED_OVER, "Keiko Marsh", None),
        (TEO, Way.HANDED_OVER, "  ", "handed_over_to_nobody"),
        (Counted(2, "T", True, Way.OUT), Way.HANDED_OVER, "K", "not_counted_in"),
    ],
)
def test_each_count_is_possible_only_after_the_one_before(counted, way, to_whom, code):
    assert [r.code for r in against(counted, way, to_whom)] == ([code] if code else [])


def test_an_event_may_close_only_when_everybody_is_in():
    assert out_now([BEA, TEO]) == [BEA]
    assert codes([BEA]) == ["still_out"]
    assert codes([Counted(1, "Bea", way=Way.IN)]) == ["everybody_home"]


def test_a_minor_is_home_only_when_handed_over():
    assert to_hand_over([BEA, TEO]) == [TEO]
    assert codes([TEO]) == ["minor_not_handed_over"]
    handed = Counted(2, "Teo Marsh", True, Way.HANDED_OVER, AT, "Keiko Marsh")
    assert codes([handed]) == ["everybody_home"]


def test_somebody_who_came_and_was_never_counted_stops_the_closing():
    assert codes([Counted(3, "Rosa Iniguez")]) == ["never_counted"]


def test_every_reason_against_closing_is_a_stop_that_names_the_people():
    found = closing_findings([BEA, TEO])
    assert {f.level for f in found} == {Level.STOP}
    assert [f.reason.facts["names"] for f in found] == ["Bea Lindqvist", "Teo Marsh"]
