"""Everything that a verdict reads about one person, frozen; and how old the person is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum

from roster.domain.dates import add_months, age_on, reaches_age_on
from roster.domain.paper_forms import PaperForm, Signature
from roster.domain.people import Role
from roster.domain.spans import OPEN_END, Span
from roster.domain.training import Exemption, FinishedStep, Known, Seasons, Step, Track

MAJORITY = 18
"""Nobody under 18 is ever of age here, whatever the state of the site says."""


class WithheldKind(StrEnum):
    """How a role is withheld."""

    SUSPENDED = "suspended"
    REVOKED = "revoked"


@dataclass(frozen=True, kw_only=True)
class Withheld(Known):
    """A role withheld from a person from a day; half-open; role None withholds every role."""

    role: Role | None
    kind: WithheldKind
    from_on: date
    until_on: date | None = None

    @property
    def days(self) -> Span:
        """The days on which it is withheld."""
        return self.from_on, self.until_on or OPEN_END


@dataclass(frozen=True)
class TrainingRules:
    """Tracks, seasons and forms of the programme, the same for everybody."""

    tracks: tuple[Track, ...] = ()
    seasons: Seasons = ()
    forms: tuple[PaperForm, ...] = ()

    def tracks_to(self, role: Role) -> tuple[Track, ...]:
        """The tracks that lead to a role."""
        return tuple(t for t in self.tracks if t.role is role)

    def form(self, code: str) -> PaperForm | None:
        """The first version of the form of that code, or None."""
        mine = (f for f in self.forms if f.code == code)
        return min(mine, key=lambda f: (f.version, f.id), default=None)

    def steps(self) -> dict[int, Step]:
        """Every step of every track by its number."""
        return {s.step.id: s.step for t in self.tracks for v in t.versions for s in v.steps}

    def as_known(self, at: datetime | None) -> TrainingRules:
        """The rules as they were on record at an instant."""
        return replace(self, tracks=tuple(_track_known(t, at) for t in self.tracks))


def _track_known(track: Track, at: datetime | None) -> Track:
    versions = tuple(
        replace(v, steps=tuple(replace(s, step=_step_known(s.step, at)) for s in v.steps))
        for v in track.versions
        if v.known(at)
    )
    return replace(track, versions=versions)


def _step_known(step: Step, at: datetime | None) -> Step:
    return replace(step, versions=tuple(v for v in step.versions if v.known(at)))


@dataclass(frozen=True)
class PersonFacts:
    """What is on record about a person. Of `born_on` and `of_age_on` one may be missing.

    `live`: holds only what is on record at one instant, so nothing is left to leave out.
    """

    person: int
    name: str
    rules: TrainingRules
    born_on: date | None = None
    of_age_on: date | None = None
    finished: tuple[FinishedStep, ...] = ()
    exemptions: tuple[Exemption, ...] = ()
    signatures: tuple[Signature, ...] = ()
    withheld: tuple[Withheld, ...] = ()
    has_left: bool = False
    live: bool = False

    def as_known(self, at: datetime | None = None) -> PersonFacts:
        """What was on record at an instant (None: now): later facts and ended ones are left out."""
        if self.live and at is None:
            return self
        return replace(
            self,
            rules=self.rules.as_known(at),
            finished=tuple(
                replace(f, confirmations=tuple(c for c in f.confirmations if c.known(at)))
                for f in self.finished
                if f.known(at)
            ),
            exemptions=tuple(e for e in self.exemptions if e.known(at)),
            signatures=tuple(
                replace(s, second_signs=tuple(x for x in s.second_signs if x.known(at)))
                for s in self.signatures
                if s.known(at)
            ),
            withheld=tuple(w for w in self.withheld if w.known(at)),
            live=True,
        )


def turns(facts: PersonFacts, years: int) -> date | None:
    """The day on which the person reaches an age; None if neither date is on record.

    Born on 29 February: on 1 March of a common year, the cautious choice.
    """
    if facts.born_on is not None:
        return reaches_age_on(facts.born_on, years)
    if facts.of_age_on is not None:
        return add_months(facts.of_age_on, 12 * (years - MAJORITY))
    return None


def age(facts: PersonFacts, day: date) -> int | None:
    """Whole years on a day, None unless the birth date is on record and not after it."""
    if facts.born_on is None or day < facts.born_on:
        return None
    return age_on(facts.born_on, day)


def comes_of_age(facts: PersonFacts, majority_age: int = MAJORITY) -> date | None:
    """The day from which the person signs alone: the state's age of majority, never under 18."""
    return turns(facts, max(MAJORITY, majority_age))


def is_minor(facts: PersonFacts, day: date, majority_age: int = MAJORITY) -> bool:
    """Whether the person is under age on a day by the site's state; unknown age counts as under."""
    from_on = comes_of_age(facts, majority_age)
    return from_on is None or day < from_on
