"""Which days a finished step counts for. Convention of validity: checks/dates.csv (day before)."""

from datetime import date
from itertools import pairwise

import pytest

from roster.domain.training import (
    SEASON_END,
    FinishedStep,
    Known,
    Source,
    Step,
    StepKind,
    StepVersion,
    days_of,
    season_end_after,
    why_it_does_not_count,
    why_not_held,
)
from tests.support.standing import done, step

SEASONS = ((date(2026, 4, 1), date(2026, 11, 1)), (date(2027, 4, 1), date(2027, 11, 1)))


def two_versions(*, renews: bool) -> Step:
    first = StepVersion(n=1, from_on=date(2020, 1, 1), validity="P5Y")
    second = StepVersion(n=2, from_on=date(2027, 3, 1), validity="P5Y", renews=renews)
    return Step(id=1, code="ethics", name="Seed ethics", kind=StepKind.LESSON,
                versions=(first, second))  # fmt: skip


# checks/dates.csv prints three conventions for the last valid day; ours is the day before the
# anniversary, so 15 June 2024 + 12 months is good on 14 June 2025 and no longer on the 15th.
@pytest.mark.parametrize(
    ("done_on", "validity", "last_day", "first_without"),
    [
        (date(2024, 6, 15), "P12M", date(2025, 6, 14), date(2025, 6, 15)),
        (date(2024, 6, 15), "P24M", date(2026, 6, 14), date(2026, 6, 15)),
        (date(2024, 2, 29), "P12M", date(2025, 2, 27), date(2025, 2, 28)),
        (date(2025, 1, 31), "P1M", date(2025, 2, 27), date(2025, 2, 28)),
    ],
    ids=["a year", "two years", "from a leap day", "month end"],
)
def test_a_finished_step_counts_through_the_day_before_the_anniversary(
    done_on: date, validity: str, last_day: date, first_without: date
) -> None:
    span = days_of(done(1, done_on), step(validity=validity), ())
    assert span is not None
    assert span[0] <= last_day < span[1]
    assert not span[0] <= first_without < span[1]


def test_a_finished_step_does_not_count_the_day_before_it_was_done() -> None:
    span = days_of(done(1, date(2024, 6, 15)), step(validity="P12M"), ())
    assert span is not None
    assert not span[0] <= date(2024, 6, 14) < span[1]
    assert span[0] <= date(2024, 6, 15) < span[1]


def test_the_date_on_a_card_wins_over_the_validity_of_the_step() -> None:
    card = done(1, date(2027, 1, 10), own_until=date(2027, 6, 19))
    assert days_of(card, step(validity="P2Y"), ()) == (date(2027, 1, 10), date(2027, 6, 20))


@pytest.mark.parametrize(
    ("done_on", "until"),
    [
        (date(2027, 5, 1), date(2027, 11, 1)),
        (date(2027, 1, 15), date(2027, 11, 1)),
        (date(2026, 10, 31), date(2026, 11, 1)),
        (date(2026, 11, 1), date(2027, 11, 1)),
        (date(2028, 2, 1), date(2029, 1, 1)),
    ],
    ids=["in season", "winter before", "last day of a season", "day after", "no season on record"],
)
def test_a_step_to_the_end_of_the_season_ends_with_the_season_it_serves(
    done_on: date, until: date
) -> None:
    assert season_end_after(done_on, SEASONS) == until
    assert days_of(done(1, done_on), step(validity=SEASON_END), SEASONS) == (done_on, until)


def test_a_new_version_that_renews_ends_what_was_finished_under_the_old_one() -> None:
    old = done(1, date(2026, 5, 1))
    assert days_of(old, two_versions(renews=True), ()) == (date(2026, 5, 1), date(2027, 3, 1))
    kept = days_of(old, two_versions(renews=False), ())
    assert kept == (date(2026, 5, 1), date(2031, 5, 1))


def test_what_was_finished_under_the_new_version_is_not_ended_by_it() -> None:
    again = FinishedStep(step=1, n=2, done_on=date(2027, 3, 1))
    assert days_of(again, two_versions(renews=True), ()) == (date(2027, 3, 1), date(2032, 3, 1))


def test_the_version_in_force_changes_on_its_first_day() -> None:
    versions = [
        two_versions(renews=True).version_on(day)
        for day in (date(2019, 1, 1), date(2027, 2, 28), date(2027, 3, 1))
    ]
    assert [v.n for v in versions if v] == [1, 1, 2]


def test_what_the_person_reports_counts_only_where_the_step_says_so_or_when_confirmed() -> None:
    said = done(1, date(2027, 5, 1), source=Source.SELF)
    confirmed = done(1, date(2027, 5, 1), source=Source.SELF, confirmations=(Known(),))
    refused = why_it_does_not_count(said, step())
    assert refused is not None
    assert refused.code == "step_unconfirmed"
    assert days_of(said, step(), ()) is None
    assert why_it_does_not_count(said, step(self_counts=True)) is None
    assert why_it_does_not_count(confirmed, step()) is None


def test_a_score_at_the_pass_mark_counts_and_one_below_does_not() -> None:
    quiz = step(pass_mark=80)
    assert why_it_does_not_count(done(1, date(2027, 5, 1), score=80), quiz) is None
    below = why_it_does_not_count(done(1, date(2027, 5, 1), score=79.5), quiz)
    assert below is not None
    assert (below.code, below.facts["mark"]) == ("step_below_mark", 80)


@pytest.mark.parametrize(
    ("finished", "code"),
    [
        ([], "step_missing"),
        ([done(1, date(2027, 7, 1))], "step_not_yet"),
        ([done(1, date(2025, 7, 1))], "step_lapsed"),
        ([done(1, date(2025, 7, 1)), done(1, date(2027, 5, 1), source=Source.SELF)],
         "step_unconfirmed"),
        ([done(1, date(2027, 5, 1), score=10)], "step_below_mark"),
    ],
    ids=["never", "later", "lapsed", "reported since", "failed"],
)  # fmt: skip
def test_the_reason_speaks_of_what_was_finished_last(
    finished: list[FinishedStep], code: str
) -> None:
    asked = step(validity="P1Y", pass_mark=80)
    assert why_not_held(asked, finished, (), date(2027, 6, 16)).code == code


def test_a_lapsed_step_names_its_last_valid_day() -> None:
    reason = why_not_held(step(validity="P1Y"), [done(1, date(2025, 7, 1))], (), date(2027, 6, 16))
    assert reason.facts["last_day"] == date(2026, 6, 30)


def test_a_step_that_a_new_version_renews_says_since_when() -> None:
    reason = why_not_held(
        two_versions(renews=True), [done(1, date(2026, 5, 1))], (), date(2027, 6, 16)
    )
    assert (reason.code, reason.facts["from_on"]) == ("step_renewed", date(2027, 3, 1))


def test_what_was_ended_is_known_until_the_instant_it_was_ended() -> None:
    from datetime import UTC, datetime, timedelta

    begun, ended = datetime(2027, 1, 1, tzinfo=UTC), datetime(2027, 2, 1, tzinfo=UTC)
    row = Known(begun, ended)
    tick = timedelta(seconds=1)
    asked = [begun - tick, begun, ended - tick, ended]
    assert [row.known(at) for at in asked] == [False, True, True, False]
    assert not row.known(None)
    assert all(a < b for a, b in pairwise(asked))
