"""What an address asks for after its question mark: numbers, days, words; clear about bad ones."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, time

from flask import request

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason

MOST_PAGES = 100_000


def page_number() -> int:
    """The page of a list, from 1."""
    return max(1, min(number_in("page") or 1, MOST_PAGES))


def number_in(name: str) -> int | None:
    """A whole number, or None where nothing is asked; BadInput for anything else."""
    said = request.args.get(name, "").strip()
    if not said:
        return None
    if not said.isascii() or not said.isdigit() or len(said) > 15:
        raise BadInput(name, said, Reason("bad_number", {"value": said[:40]}))
    return int(said)


def day_in(name: str) -> date | None:
    """A day, or None where nothing is asked; BadInput for anything else."""
    said = request.args.get(name, "").strip()
    if not said:
        return None
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise BadInput(name, said, Reason("bad_day", {"value": said[:40]})) from None


def word_in(name: str, allowed: Collection[str]) -> str | None:
    """One of some code words, or None where nothing is asked; BadInput for anything else."""
    said = request.args.get(name, "").strip()
    if not said:
        return None
    if said not in allowed:
        raise BadInput(name, said, Reason("bad_choice", {"value": said[:40]}))
    return said


def text_in(name: str, most: int = 80) -> str:
    """A text to look for, cut to a length; empty where nothing is asked."""
    return request.args.get(name, "").strip().replace("%", "").replace("_", " ")[:most]


def sent_days(name: str) -> list[date]:
    """The days ticked in a sent form; BadInput for anything else."""
    found = []
    for said in request.form.getlist(name):
        try:
            found.append(date.fromisoformat(said))
        except ValueError:
            raise BadInput(name, said, Reason("bad_day", {"value": said[:40]})) from None
    return found


def sent_numbers(name: str) -> list[int]:
    """The whole numbers ticked in a sent form; BadInput for anything else."""
    found = []
    for said in request.form.getlist(name):
        if not said.isascii() or not said.isdigit() or len(said) > 15:
            raise BadInput(name, said, Reason("bad_number", {"value": said[:40]}))
        found.append(int(said))
    return found


def sent_time(name: str) -> time:
    """A time of day in a sent form, as 07:00; BadInput for anything else."""
    said = request.form.get(name, "").strip()
    try:
        return time.fromisoformat(said)
    except ValueError:
        raise BadInput(name, said, Reason("bad_time", {"value": said[:40]})) from None
