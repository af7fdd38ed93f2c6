"""Findings as text in a derived row, and back: days and instants stay what they are."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date, datetime

from roster.domain.reasons import Fact, Finding, Level, Reason


def packed(findings: Iterable[Finding]) -> str:
    """Findings as one text: level, code and facts of each."""
    return json.dumps([[f.level, f.reason.code, _out(f.reason.facts)] for f in findings])


def unpacked(kept: str | None) -> list[Finding]:
    """The findings of such a text; nothing was kept: none."""
    return [
        Finding(Level(le), Reason(code, _in(facts))) for le, code, facts in json.loads(kept or "[]")
    ]


def _out(facts: Mapping[str, Fact]) -> dict[str, object]:
    return {name: _marked(value) for name, value in facts.items()}


def _marked(value: Fact) -> object:
    if isinstance(value, datetime):
        return {"at": value.isoformat()}
    if isinstance(value, date):
        return {"day": value.isoformat()}
    return value


def _in(facts: Mapping[str, object]) -> dict[str, Fact]:
    return {name: _unmarked(value) for name, value in facts.items()}


def _unmarked(value: object) -> Fact:
    if isinstance(value, dict):
        if "at" in value:
            return datetime.fromisoformat(value["at"])
        return date.fromisoformat(value["day"])
    return value  # type: ignore[return-value]
