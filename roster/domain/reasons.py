"""A reason is a code and its facts, never a sentence: `roster.words.say` makes the sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

Fact = str | int | float | date | datetime | None


@dataclass(frozen=True)
class Reason:
    """Why a rule says no (or yes): a code known to `roster.words`, and the facts it speaks of.

    Facts are plain values: names, whole numbers, days (date), instants (aware datetime),
    roles and kinds as their code words. `rule` and `source` stand beside the text in `words`.
    """

    code: str
    facts: Mapping[str, Fact] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((self.code, tuple(sorted((k, str(v)) for k, v in self.facts.items()))))


class Level(StrEnum):
    """What a finding of the crew check asks for, gravest first."""

    STOP = "stop"
    CAUTION = "caution"
    CLEAR = "clear"


@dataclass(frozen=True)
class Finding:
    """One sentence of the crew check: a level and the reason for it."""

    level: Level
    reason: Reason
