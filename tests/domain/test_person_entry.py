"""What may be told of a person. Address lengths: RFC 5321 section 4.5.3.1."""

from datetime import UTC, date, datetime

import pytest

from roster.domain.errors import BadInput
from roster.domain.person_entry import (
    PersonEntry,
    check_birth,
    check_place,
    checked,
    day_asked,
    day_told,
    mail_address,
    phone_number,
    plain_text,
)

TODAY = date(2027, 6, 16)


@pytest.mark.parametrize(
    "address",
    ["wren@example.org", " wren@example.org ", "w.h+seed@mail.example.org", "søren@example.org",
     "a" * 64 + "@example.org"],
)  # fmt: skip
def test_an_address_as_people_type_it_is_kept_without_blanks(address: str) -> None:
    assert mail_address(address) == address.strip()


@pytest.mark.parametrize(
    "address",
    ["", "wren", "wren@", "@example.org", "wren@example", "wren @example.org", "a@b@example.org",
     "wren@example.org\nBcc: all@example.org", "a" * 65 + "@example.org",
     "w@" + "a." * 125 + "org"],
)  # fmt: skip
def test_what_cannot_be_an_address_is_refused(address: str) -> None:
    with pytest.raises(BadInput) as refused:
        mail_address(address)
    assert refused.value.reason.code == "bad_address"


def test_a_birth_date_of_today_is_the_last_and_120_years_ago_the_first() -> None:
    check_birth(TODAY, TODAY)
    check_birth(date(1907, 1, 1), TODAY)
    for day in (date(2027, 6, 17), date(1906, 12, 31)):
        with pytest.raises(BadInput):
            check_birth(day, TODAY)


def test_the_day_of_majority_is_worked_out_from_the_birth_date() -> None:
    born = checked(PersonEntry("Wren", born_on=date(2008, 2, 29)), TODAY)
    assert born.of_age_on == date(2026, 3, 1)
    told = checked(PersonEntry("Wren", of_age_on=TODAY), TODAY)
    assert told.of_age_on == TODAY


def test_a_name_is_one_line_of_printable_letters() -> None:
    assert plain_text("name", "  Wren \t Halvorsen ", 120) == "Wren Halvorsen"
    assert plain_text("name", "So\u0308ren", 120) == "S\u00f6ren"
    for told in ("", " ", "a" * 121, "Wren\x00", "Wren\u202etxt"):
        with pytest.raises(BadInput):
            plain_text("name", told, 120)


@pytest.mark.parametrize(
    ("told", "good"), [("208 555 0142", True), ("+1 (208) 555-0142", True), ("call me", False),
                       ("12", False)]
)  # fmt: skip
def test_a_phone_number_has_digits(told: str, good: bool) -> None:
    if good:
        assert phone_number(told) == told
    else:
        with pytest.raises(BadInput):
            phone_number(told)


@pytest.mark.parametrize(
    ("lat", "lon", "good"),
    [(90, 180, True), (-90, -180, True), (None, None, True), (90.1, 0, False), (0, -180.1, False),
     (46.7, None, False), (None, -117.2, False), (float("nan"), 0, False)],
)  # fmt: skip
def test_a_place_is_whole_and_on_the_globe(
    lat: float | None, lon: float | None, good: bool
) -> None:
    if good:
        check_place(lat, lon)
    else:
        with pytest.raises(BadInput):
            check_place(lat, lon)


@pytest.mark.parametrize(
    ("told", "day"),
    [("2027-06-20", date(2027, 6, 20)), (" 2027-6-2 ", date(2027, 6, 2)), ("", None), (None, None),
     (date(2027, 6, 20), date(2027, 6, 20)),
     (datetime(2027, 6, 20, 8, tzinfo=UTC), date(2027, 6, 20))],
)  # fmt: skip
def test_a_day_is_read_from_a_cell(told: object, day: date | None) -> None:
    assert day_told("day", told) == day


@pytest.mark.parametrize("told", ["06/20/2027", "2027-02-29", "2027-13-01", "soon", "20270620"])
def test_a_day_written_otherwise_is_refused_rather_than_guessed(told: str) -> None:
    with pytest.raises(BadInput) as refused:
        day_told("day", told)
    assert refused.value.reason.code == "bad_day"


def test_a_day_is_asked_within_a_century() -> None:
    assert day_asked(None, TODAY) == TODAY
    assert day_asked(date(2127, 1, 1), TODAY) == date(2127, 1, 1)
    for day in (date(2128, 1, 1), date(1926, 12, 31), date.max, date.min):
        with pytest.raises(BadInput):
            day_asked(day, TODAY)
