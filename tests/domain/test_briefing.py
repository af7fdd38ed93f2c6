"""The briefing and the stop lines.

Thunder: OSHA/NOAA Lightning Safety When Working Outdoors (OSHA 3863): not before 30 minutes after
the last thunder; the examples of 13:20, 23:45 and the night of the clock change are arithmetic.
Heat index 91 and 103: bounds of OSHA's heat-index guide. AQI lines: our own defaults, no source.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from roster.domain.briefing import (
    Care,
    Hearer,
    Outlook,
    Reading,
    ReadingKind,
    Topic,
    briefing_findings,
    reading_findings,
    topic_key,
    topics,
)
from roster.domain.reasons import Level

JUNE = Outlook(6, {"ticks": "Trousers in socks.", "slope": "Loose rock on the south side."})
HERE = ZoneInfo("America/Los_Angeles")
NOON = datetime(2027, 6, 20, 19, tzinfo=UTC)


def codes(outlook):
    return [r.code for r in topics(outlook)]


def judged(kind, value, **care):
    found = reading_findings([Reading(kind, value, NOON)], NOON, Care(**care))
    return [(f.level, f.reason.code) for f in found]


def test_driving_is_spoken_first_and_then_how_to_call():
    assert codes(JUNE)[:2] == ["topic_driving", "topic_calling"]


def test_a_place_without_signal_has_its_own_words_on_calling():
    assert codes(replace(JUNE, minutes_to_signal=10))[1] == "topic_calling_no_signal"


def test_the_sites_hazards_join_with_their_notes():
    found = {r.code: r.facts["note"] for r in topics(JUNE)}
    assert found["topic_slope"] == "Loose rock on the south side."
    assert found["topic_ticks"] == "Trousers in socks."


def test_two_hazards_of_one_topic_are_spoken_together():
    found = {r.code: r for r in topics(Outlook(6, {"snakes": "Rattlers.", "stings": "Hives."}))}
    assert found["topic_snakes_stings"].facts["note"] == "Rattlers. Hives."


def test_a_hazard_without_a_topic_of_its_own_is_still_spoken():
    last = topics(Outlook(6, {"old_mine": "Fenced shaft."}))[-1]
    assert (last.code, last.facts["hazard"]) == ("topic_other", "old mine")
    assert topic_key(last) == "topic_other:old mine"
    assert topic_key(topics(JUNE)[0]) == "topic_driving"


@pytest.mark.parametrize(
    ("month", "code", "spoken"),
    [(4, "topic_heat", False), (5, "topic_heat", True), (9, "topic_heat", True),
     (10, "topic_heat", False), (8, "topic_hunting", False), (9, "topic_hunting", True)],
)  # fmt: skip
def test_the_season_brings_its_own_topics(month, code, spoken):
    assert (code in codes(Outlook(month, {}))) is spoken


def test_poisonous_look_alikes_and_minors_are_named():
    found = {
        r.code: r.facts["names"]
        for r in topics(replace(JUNE, look_alikes=("deathcamas",), minors=("Teo",)))
        if "names" in r.facts
    }
    assert found == {"topic_look_alikes": "deathcamas", "topic_minors": "Teo"}


def test_blades_are_spoken_of_only_when_collecting():
    assert "topic_blades" in codes(JUNE)
    assert "topic_blades" not in codes(replace(JUNE, collecting=False))


def test_every_topic_has_a_place_in_the_order():
    everything = Outlook(
        10, {t.value: "" for t in Topic}, look_alikes=("x",), minors=("Teo",), collecting=True
    )
    assert codes(everything) == [f"topic_{t}" for t in Topic]


def test_without_a_briefing_nobody_goes():
    assert briefing_findings(False, [])[0].reason.code == "briefing_missing"


def test_each_one_who_came_must_have_heard_it():
    crew = [Hearer("Bea", True), Hearer("Pavel", False)]
    [found] = briefing_findings(True, crew)
    assert (found.level, found.reason.code, found.reason.facts["names"]) == (
        Level.STOP, "briefing_not_heard", "Pavel",
    )  # fmt: skip
    [late] = briefing_findings(True, crew, crew_changed=True)
    assert late.reason.code == "late_comers_not_briefed"
    [good] = briefing_findings(True, crew[:1])
    assert good.level is Level.CLEAR


@pytest.mark.parametrize(
    ("last_thunder", "again"),
    [
        (datetime(2027, 6, 20, 13, 20, tzinfo=HERE), "13:50"),
        (datetime(2027, 6, 20, 23, 45, tzinfo=HERE), "00:15"),
        (datetime(2026, 3, 8, 1, 50, tzinfo=HERE), "03:20"),
    ],
    ids=["afternoon", "over midnight", "clocks set forward"],
)
def test_work_restarts_30_minutes_after_the_last_thunder(last_thunder, again):
    at = last_thunder.astimezone(UTC)
    heard = [Reading(ReadingKind.THUNDER, 1, at - timedelta(minutes=15)),
             Reading(ReadingKind.THUNDER, 1, at)]  # fmt: skip
    [stop] = reading_findings(heard, at + timedelta(minutes=29, seconds=59), Care())
    assert stop.level is Level.STOP
    assert stop.reason.facts["again"].astimezone(HERE).strftime("%H:%M") == again
    assert reading_findings(heard, at + timedelta(minutes=30), Care()) == []


@pytest.mark.parametrize(
    ("value", "found"),
    [(90, []), (91, [(Level.CAUTION, "hot")]), (102, [(Level.CAUTION, "hot")]),
     (103, [(Level.STOP, "too_hot")])],
)  # fmt: skip
def test_heat_index_asks_for_a_plan_from_91_and_stops_from_103(value, found):
    assert judged(ReadingKind.HEAT_INDEX, value) == found


@pytest.mark.parametrize(
    ("value", "careful", "stops"),
    [(150, False, False), (151, False, True), (100, True, False), (101, True, True)],
)
def test_smoke_stops_above_150_and_above_100_with_a_minor(value, careful, stops):
    found = judged(ReadingKind.AQI, value, careful=careful)
    assert found == ([(Level.STOP, "too_smoky")] if stops else [])


def test_a_red_flag_stops_only_driving_off_pavement():
    assert judged(ReadingKind.RED_FLAG, 1) == [(Level.CAUTION, "red_flag")]
    assert judged(ReadingKind.RED_FLAG, 1, off_pavement=True) == [
        (Level.STOP, "red_flag_off_pavement")
    ]
    assert judged(ReadingKind.RED_FLAG, 0, off_pavement=True) == []


def test_an_evacuation_level_stops_until_it_is_lifted():
    assert judged(ReadingKind.EVACUATION, 2) == [(Level.STOP, "evacuation_level")]
    assert judged(ReadingKind.EVACUATION, 0) == []


def test_only_the_newest_reading_of_a_kind_counts():
    cooler = [Reading(ReadingKind.HEAT_INDEX, 104, NOON - timedelta(hours=1)),
              Reading(ReadingKind.HEAT_INDEX, 88, NOON)]  # fmt: skip
    assert reading_findings(cooler, NOON, Care()) == []
