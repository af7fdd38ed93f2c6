"""The interval table's rows against the day-by-day verdict, over random histories."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from roster.domain.clearance import PersonFacts, Withheld, WithheldKind, intervals, verdict
from roster.domain.people import Role
from roster.domain.training import Exemption, Source, Step, StepVersion, TrackStep
from tests.support.standing import (
    AGREEMENT,
    RELEASE,
    done,
    guardian_papers,
    paper_step,
    person,
    rules,
    signed,
    step,
    track,
)

SIGNED = paper_step(4, RELEASE)
FIRST, LAST = date(2026, 1, 1), date(2028, 12, 31)
days = st.dates(date(2025, 1, 1), date(2029, 6, 1))


def _steps() -> st.SearchStrategy[tuple[Step, ...]]:
    validity = st.sampled_from([None, "P1Y", "P6M", "P30D", "season_end"])
    renewal = st.none() | st.dates(FIRST, LAST)

    def made(number: int, length: str | None, own: bool, renewed: date | None) -> Step:
        plain = step(number, f"Step {number}", validity=length, self_counts=own, pass_mark=80)
        if renewed is None:
            return plain
        second = StepVersion(n=2, from_on=renewed, validity=length, renews=True)
        return replace(plain, versions=(*plain.versions, second))

    return st.tuples(
        *(st.builds(made, st.just(n), validity, st.booleans(), renewal) for n in (1, 2, 3))
    )


@st.composite
def histories(draw: st.DrawFn) -> PersonFacts:
    needed = st.none() | st.dates(FIRST, LAST)
    listed = [TrackStep(s, draw(needed)) for s in draw(_steps())]
    listed += draw(
        st.lists(st.sampled_from([SIGNED, paper_step(5, AGREEMENT)]).map(TrackStep), max_size=2)
    )
    seasons = ((date(2026, 4, 1), date(2026, 11, 1)), (date(2028, 4, 1), date(2028, 11, 1)))
    tracks = [track(Role.LEAD, listed, draw(st.sampled_from([14, 16, 18, 21])))]
    if draw(st.booleans()):
        tracks.append(replace(track(Role.LEAD, listed[:1]), id=2, code="short"))
    finished = st.builds(
        done, st.sampled_from([1, 2, 3]), days, score=st.sampled_from([None, 70.0, 90.0]),
        source=st.sampled_from([Source.SELF, Source.COORDINATOR]),
    )  # fmt: skip
    own = st.builds(signed, st.sampled_from([RELEASE, AGREEMENT]), days,
                    guardian=st.sampled_from([None, 9]))  # fmt: skip
    signatures = draw(st.lists(own, max_size=3))
    for papers in draw(st.lists(st.builds(guardian_papers, days), max_size=2)):
        signatures += papers
    exempt = st.builds(Exemption, step=st.just(1), from_on=days)
    suspended = st.builds(
        Withheld, role=st.sampled_from([None, Role.LEAD, Role.DRIVER]), from_on=days,
        kind=st.just(WithheldKind.SUSPENDED), until_on=st.just(date(2029, 7, 1)) | st.none(),
    )  # fmt: skip
    return person(
        rules(*tracks, seasons=seasons),
        draw(st.dates(date(2004, 1, 1), date(2012, 1, 1)) | st.just(date(2008, 2, 29))),
        finished=tuple(draw(st.lists(finished, max_size=8))),
        signatures=tuple(signatures),
        exemptions=tuple(draw(st.lists(exempt, max_size=1))),
        withheld=tuple(draw(st.lists(suspended, max_size=1))),
    )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(histories())
def test_the_intervals_agree_with_the_verdict_on_every_day_of_three_years(
    facts: PersonFacts,
) -> None:
    spans = intervals(facts, Role.LEAD)
    for offset in range((LAST - FIRST).days + 1):
        day = FIRST + timedelta(days=offset)
        found = verdict(facts, Role.LEAD, day)
        within = [s for s in spans if s[0] <= day < s[1]]
        assert found.yes is bool(within), (day, found, spans)
        assert found.yes is (not found.reasons)
        if found.yes and found.until is not None:
            assert found.until + timedelta(days=1) == within[0][1]


@settings(max_examples=200, deadline=None)
@given(histories())
def test_intervals_are_in_order_apart_and_never_run_across_majority(facts: PersonFacts) -> None:
    spans = intervals(facts, Role.LEAD)
    assert all(first < until for first, until in spans)
    assert all(a[1] <= b[0] for a, b in pairwise(spans))
    born = facts.born_on
    assert born is not None
    leap = (born.month, born.day) == (2, 29)
    of_age = date(born.year + 18, 3, 1) if leap else born.replace(year=born.year + 18)
    assert not any(first < of_age < until for first, until in spans)
