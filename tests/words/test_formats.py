"""Days, times, numbers and names as a reader sees them."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from roster.words import formats

DAY = date(2026, 7, 11)
AT = datetime(2026, 7, 11, 14, 0, tzinfo=UTC)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("language", "text"),
    [("en", "Sat 11 Jul 2026"), ("es", "sáb 11 jul 2026"), ("xx", "Sat 11 Jul 2026")],
)
def test_a_day_has_its_weekday(language: str, text: str) -> None:
    assert formats.day(DAY, language) == text


def test_a_time_has_its_zone() -> None:
    assert plain(formats.time(AT, "America/Denver")) == "08:00 MDT"
    assert plain(formats.moment(AT, "America/Denver")) == "Sat 11 Jul 2026, 08:00 MDT"


def test_a_zone_without_letters_is_told_from_utc() -> None:
    assert plain(formats.time(AT, "America/Sao_Paulo")) == "11:00 UTC-03"


def test_an_instant_without_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="without a zone"):
        formats.time(datetime(2026, 7, 11, 8, 0))  # noqa: DTZ001 - that is what is refused


@pytest.mark.parametrize(
    ("end", "text"),
    [
        (datetime(2026, 7, 11, 19, 30, tzinfo=UTC), "Sat 11 Jul 2026, 08:00 to 13:30 MDT"),
        (
            datetime(2026, 7, 12, 19, 30, tzinfo=UTC),
            "Sat 11 Jul 2026, 08:00 MDT to Sun 12 Jul 2026, 13:30 MDT",
        ),
    ],
    ids=["one day", "two days"],
)
def test_a_span_says_the_day_once(end: datetime, text: str) -> None:
    assert plain(formats.span(AT, end, "America/Denver")) == text


def test_a_span_over_the_clock_change_names_both_zones() -> None:
    start = datetime(2026, 11, 1, 7, 30, tzinfo=UTC)
    end = datetime(2026, 11, 1, 9, 30, tzinfo=UTC)
    assert plain(formats.span(start, end, "America/Denver")) == (
        "Sun 1 Nov 2026, 01:30 MDT to 02:30 MST"
    )


@pytest.mark.parametrize(
    ("last", "text"),
    [
        (date(2026, 7, 11), "Sat 11 Jul 2026"),
        (date(2026, 7, 31), "Sat 11 Jul to Fri 31 Jul 2026"),
        (date(2027, 1, 2), "Sat 11 Jul 2026 to Sat 2 Jan 2027"),
    ],
)
def test_days_name_the_last_valid_day(last: date, text: str) -> None:
    assert formats.days(DAY, last) == text


@pytest.mark.parametrize(
    ("names", "english", "spanish"),
    [
        ([], "", ""),
        (["Ana"], "Ana", "Ana"),
        (["Ana", "Bea"], "Ana and Bea", "Ana y Bea"),
        (["Ana", "Bea", "Inés"], "Ana, Bea and Inés", "Ana, Bea e Inés"),
        (["Ana", "Hierro"], "Ana and Hierro", "Ana y Hierro"),
    ],
)
def test_names_are_listed_as_one_says_them(names: list[str], english: str, spanish: str) -> None:
    assert formats.list_of(names) == english
    assert formats.list_of(names, "es") == spanish


@pytest.mark.parametrize(
    ("value", "english", "spanish"),
    [(1200, "1,200", "1.200"), (5.5, "5.5", "5,5"), (6.0, "6", "6"), (-3, "-3", "-3")],
)
def test_numbers_follow_the_language(value: float, english: str, spanish: str) -> None:
    assert formats.number(value) == english
    assert formats.number(value, "es") == spanish


@pytest.mark.parametrize(
    ("value", "text"), [(0, "no"), (1, "one"), (12, "twelve"), (13, "13"), (-1, "-1")]
)
def test_small_numbers_are_words(value: int, text: str) -> None:
    assert formats.number_word(value) == text


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "0 %"), (0.001, "< 1 %"), (0.853, "85 %"), (0.996, "99 %"), (1.0, "100 %")],
)
def test_a_chance_is_never_rounded_to_certainty(share: float, text: str) -> None:
    assert plain(formats.percent(share)) == text


def test_minutes_are_said_as_hours() -> None:
    assert formats.hours(330) == "5.5"
    assert formats.hours(360) == "6"
