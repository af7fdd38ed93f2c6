"""Tokens: one row, one purpose, one generation."""

from __future__ import annotations

import pytest
from flask import Flask

from roster.services import tokens


def test_a_token_opens_its_own_row_in_its_own_purpose_and_generation_only(app: Flask) -> None:
    made = tokens.token("feed", 7, 1)
    assert tokens.number_in(made) == 7
    assert tokens.is_right("feed", made, 1)
    assert not tokens.is_right("feed", made, 2)
    assert not tokens.is_right("seen", made, 1)
    assert not tokens.is_right("feed", made.replace("7-", "8-", 1), 1)
    assert not tokens.is_right("feed", made, None)


@pytest.mark.parametrize("text", ["", "7", "7-", "-" + "a" * 52, "x-" + "a" * 52, "7-é" + "a" * 51,
                                  "9" * 30 + "-" + "a" * 52, "\u0667-" + "a" * 52])  # fmt: skip
def test_what_is_no_token_opens_nothing(app: Flask, text: str) -> None:
    assert not tokens.is_right("feed", text, 1)


def test_a_code_is_typed_in_two_groups_and_differs_by_row_and_generation(app: Flask) -> None:
    one = tokens.code("sign_in", 7, 1)
    assert len(one) == 9
    assert one[4] == "-"
    assert one == tokens.code("sign_in", 7, 1)
    assert len({one, tokens.code("sign_in", 8, 1), tokens.code("sign_in", 7, 2)}) == 3
