"""Numbers to read aloud, against tests/checks/codes.csv and its published examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roster.domain.codes import (
    CHECK_SYMBOLS,
    CodeError,
    append_check,
    check_symbol,
    decode,
    encode,
    has_plain_check,
)
from tests.support.checks import rows


@pytest.mark.parametrize("row", rows("codes", scheme="crockford32_encode_number"))
def test_a_number_is_written_with_its_check_symbol_last(row):
    assert encode(int(row["input"])) == row["expected"]
    assert decode(row["expected"]) == int(row["input"])


@pytest.mark.parametrize("row", rows("codes", scheme="crockford32_append_check"))
def test_digits_get_the_published_check_symbol(row):
    assert append_check(row["input"]) == row["expected"]
    assert append_check(row["input"].lower()) == row["expected"]


@pytest.mark.parametrize("row", rows("codes", scheme="crockford32_validate"))
def test_a_typed_number_checks_or_is_refused(row):
    if row["valid"] == "yes":
        assert check_symbol(decode(row["input"])) == row["input"][-1].upper()
    else:
        with pytest.raises(ValueError, match="bad_code"):
            decode(row["input"])


@given(st.integers(0, 2**60), st.integers(1, 14))
def test_every_number_comes_back_from_its_code(number, length):
    code = encode(number, length)
    assert decode(code) == number
    assert len(code) > length


@given(st.integers(0, 2**50), st.data())
def test_one_wrong_symbol_is_always_caught(number, data):
    code = encode(number, 8)
    at = data.draw(st.integers(0, len(code) - 2))
    other = data.draw(st.sampled_from([d for d in CHECK_SYMBOLS[:32] if d != code[at]]))
    with pytest.raises(CodeError):
        decode(code[:at] + other + code[at + 1 :])


def test_zeros_in_front_do_not_change_the_check_symbol():
    assert encode(1234, 6) == "00016JD"
    assert decode("0001-6JD") == 1234


@pytest.mark.parametrize("typed", ["", "-", "1", "ßß", "16J D", "16J*", "٣٣", "1,6JD", "*1"])
def test_what_is_no_number_of_ours_is_refused(typed):
    with pytest.raises(CodeError):
        decode(typed)


def test_letters_that_look_like_digits_are_read_as_those_digits():
    assert decode("iO*") == decode("lo*") == decode("L0*") == decode("10*") == 32
    assert decode("1i") == decode("11") == 1  # the check symbol too


def test_a_plain_check_is_a_letter_or_digit():
    assert has_plain_check(31)
    assert not any(has_plain_check(number) for number in range(32, 37))
    assert has_plain_check(37)
    with pytest.raises(CodeError):
        check_symbol(-1)
