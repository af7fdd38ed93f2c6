"""Stretches of days, compared with plain sets of days."""

from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from roster.domain.spans import Span, cut_at, holding, intersection, union, without

START = date(2027, 1, 1)
spans = st.lists(
    st.tuples(st.integers(0, 40), st.integers(0, 40)).map(
        lambda pair: (START + timedelta(pair[0]), START + timedelta(pair[1]))
    ),
    max_size=5,
)


def days(some: list[Span]) -> set[date]:
    return {START + timedelta(n) for n in range(41) if holding(some, START + timedelta(n))}


@given(spans)
def test_a_union_holds_the_same_days_in_order_and_apart(some: list[Span]) -> None:
    joined = union(some)
    assert days(joined) == days(some)
    assert all(a[1] < b[0] for a, b in pairwise(joined))


@given(spans, spans)
def test_an_intersection_holds_the_days_of_both(some: list[Span], others: list[Span]) -> None:
    assert days(intersection(union(some), union(others))) == days(some) & days(others)


@given(spans, spans)
def test_what_is_taken_is_left_out(some: list[Span], taken: list[Span]) -> None:
    assert days(without(union(some), taken)) == days(some) - days(taken)


@given(spans, st.integers(0, 40))
def test_a_cut_keeps_the_days_and_no_span_runs_across_it(some: list[Span], at: int) -> None:
    cut = START + timedelta(at)
    parts = cut_at(union(some), [cut])
    assert days(parts) == days(some)
    assert not any(first < cut < until for first, until in parts)
