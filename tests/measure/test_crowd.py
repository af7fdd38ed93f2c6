"""What the benches of a big programme compare is equal before it is timed, in a small one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from sqlalchemy import delete, update

from roster.domain.people import Role
from roster.measure import crowd, feed, import_people, leads, page, rebuild, risk, standing
from roster.measure.databases import fresh, opened
from roster.measure.lines import Line
from roster.services.clock import SetClock
from roster.store.models.events import event_summary, event_text
from roster.store.models.people import held
from roster.store.registry import Store
from roster.store.transaction import read, write

pytestmark = pytest.mark.slow
DATABASES = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]
PEOPLE = 300


@pytest.fixture(scope="module", autouse=True)
def _crowds_are_taken_away() -> Iterator[None]:
    yield
    standing.forget()


def right(line: Line) -> None:
    """The check of both sides found nothing, and there is a figure for each round."""
    assert "wrong" not in line.more, str(line)
    assert line.low is not None
    assert line.high is not None
    assert line.low <= line.ratio <= line.high


def test_a_crowd_is_the_same_each_time_and_its_first_people_whatever_its_size() -> None:
    few, many = list(crowd.newcomers(20)), list(crowd.newcomers(40))
    assert many[:20] == few
    assert len({one.address for one in many}) == 40
    assert all(day < crowd.TODAY for one in many for _code, day in one.finished)


def test_a_crowd_holds_leads_and_people_who_are_cleared_for_nothing() -> None:
    steps = [{code for code, _day in one.finished} for one in crowd.newcomers(500)]
    assert 5 <= sum("lead-day" in codes for codes in steps) <= 50
    assert sum(not codes for codes in steps) > 10


@pytest.mark.parametrize("kind", DATABASES)
@pytest.mark.parametrize("role", leads.ROLES)
def test_every_search_gives_the_people_of_the_naive_query(kind: str, role: Role) -> None:
    line = leads.compared(kind, PEOPLE, role)
    right(line)
    assert line.n == PEOPLE


def test_a_search_that_misses_somebody_is_seen() -> None:
    with standing.standing("sqlite", PEOPLE):
        first = read(lambda store: store.leads.nearest_free(leads.reaches("lead")[0], 1))[0]

        def differing(store: Store) -> int:
            store.unit.run(delete(held).where(held.c.root == first.person))
            found = leads.differing(store, Role.LEAD)
            raise _Undo(found)

        with pytest.raises(_Undo) as found:
            write(differing, actor=crowd.ACTOR)
    assert found.value.args[0] > 0


class _Undo(Exception):
    pass


@pytest.mark.parametrize("kind", DATABASES)
def test_the_table_is_the_same_made_whole_and_one_by_one_and_as_verdicts_say(kind: str) -> None:
    found = list(rebuild.grown(kind, PEOPLE))
    assert [line.name for line in found] == [
        "rebuild.growth",
        "rebuild.one.growth",
        "rebuild.share",
    ]
    for line in found:
        right(line)


def test_a_row_of_the_table_that_no_verdict_bears_out_is_seen() -> None:
    with standing.standing("sqlite", PEOPLE):
        people = range(2, PEOPLE + 2)
        rows = read(lambda store: store.held.of_many(people))
        assert read(lambda store: rebuild.against_verdicts(store, people, rows)) == 0
        now = next(
            row
            for row in rows
            if row.from_on <= crowd.TODAY and (row.until_on is None or row.until_on > crowd.TODAY)
        )
        less = [row for row in rows if row is not now]
        more = [*rows, replace(now, role="driver")]
        for wrong in (less, more):
            seen = read(lambda store, r=wrong: rebuild.against_verdicts(store, people, r))
            assert seen > 0


@pytest.mark.parametrize("kind", DATABASES)
@pytest.mark.parametrize("listing", page.LISTINGS, ids=lambda one: one.name)
def test_a_page_is_the_same_with_its_values_in_hand(kind: str, listing: page.Listing) -> None:
    with standing.standing(kind, PEOPLE) as (app, known):
        right(page.compared(kind, app, known, listing))


def test_a_page_with_other_values_in_hand_is_seen() -> None:
    listing = page.LISTINGS[0]
    with standing.standing("sqlite", PEOPLE) as (app, known):
        asked = page.signed_in(app, known, listing)
        found, whole = page.found_by(listing, asked)
        with page.in_hand(listing, replace(found, rows=found.rows[1:])):
            other = asked.answer()
        assert page.wrong_of(listing, found, whole, other) == "the pages differ"
        less = replace(found, rows=found.rows[1:])
        wrong = page.wrong_of(listing, less, whole, whole)
        assert wrong == "the rows are not those of the naive query"


@pytest.mark.parametrize("kind", DATABASES)
def test_kept_joined_and_freshly_written_feeds_are_equal(kind: str) -> None:
    found = list(feed.compared(kind, events=24))
    assert [line.name for line in found] == ["feed.unchanged", "feed.kept", "feed.changed"]
    for line in found:
        right(line)


def test_kept_bytes_that_are_not_those_of_the_event_are_seen() -> None:
    with fresh("sqlite") as place, opened(place, SetClock(crowd.NOW)) as app:
        calendar = feed.Calendar(app, *feed.fill(6))

        def spoil(store: Store) -> None:
            store.unit.run(update(event_text).values(bytes=b"BEGIN:VEVENT\r\nEND:VEVENT\r\n"))

        write(spoil, actor=crowd.ACTOR)
        assert calendar.wrong() == "an event is not as written afresh"


@pytest.mark.parametrize("kind", DATABASES)
def test_an_import_leaves_what_the_sheet_says_and_the_driver_leaves_the_same(kind: str) -> None:
    right(import_people.compared(kind, 40, rounds=1))


@pytest.mark.parametrize("kind", DATABASES)
def test_events_at_risk_by_their_summaries_are_those_that_a_count_finds(kind: str) -> None:
    line = risk.compared(kind, PEOPLE)
    right(line)
    assert 0 < int(str(line.more["found"])) < line.n


def test_a_summary_that_is_out_of_date_is_seen() -> None:
    with standing.standing("sqlite", PEOPLE):

        def differing(store: Store) -> None:
            store.unit.run(update(event_summary).values(short=0, leads=1))
            raise _Undo(risk.by_summary(store), risk.live(store))

        with pytest.raises(_Undo) as found:
            write(differing, actor=crowd.ACTOR)
        kept, counted = found.value.args
    assert kept != counted
