"""Tracks of ordered steps, finished steps, and on which days a finished step counts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from functools import lru_cache

from roster.domain.dates import last_valid_day
from roster.domain.people import Role
from roster.domain.reasons import Reason
from roster.domain.spans import OPEN_END, Span

SEASON_END = "season_end"
"""The validity of a step that holds to the last day of the season."""


class StepKind(StrEnum):
    """What is to be learnt or shown."""

    LESSON = "lesson"
    QUIZ = "quiz"
    FIELD_DAY = "field_day"
    PAPERS = "papers"
    CONTACT_DETAILS = "contact_details"
    FIRST_AID = "first_aid"
    DRIVER_CHECK = "driver_check"
    YOUTH_PROTECTION = "youth_protection"
    SCREENING = "screening"
    PLANT_IDENTIFICATION = "plant_identification"


class Source(StrEnum):
    """Who says that a step is finished."""

    SELF = "self"
    COORDINATOR = "coordinator"
    SPREADSHEET = "spreadsheet"
    XAPI = "xapi"


@dataclass(frozen=True)
class Known:
    """When we knew something: from `recorded_at` on, until it was ended (voided, corrected)."""

    recorded_at: datetime | None = None
    ended_at: datetime | None = None

    def known(self, at: datetime | None) -> bool:
        """Whether it was on record at that instant; None asks what is on record now."""
        if at is None:
            return self.ended_at is None
        began = self.recorded_at is None or self.recorded_at <= at
        return began and (self.ended_at is None or self.ended_at > at)


@dataclass(frozen=True, kw_only=True)
class StepVersion(Known):
    """One wording of a step, in force from a day.

    `validity` is an ISO 8601 duration ("P12M"), SEASON_END, or None: it never lapses. `pass_mark`
    is the least score that counts. `self_counts`: what the person reports counts at once.
    `renews`: from `from_on` what was finished under earlier versions no longer counts.
    """

    n: int
    from_on: date
    validity: str | None = None
    pass_mark: float | None = None
    self_counts: bool = False
    renews: bool = False


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to be learnt or shown, in its versions, lowest number first.

    `needs` are the numbers of steps that come before it. `paper` is the code of the form that a
    step of kind papers asks to be signed; such a step is finished by the signature itself.
    """

    id: int
    code: str
    name: str
    kind: StepKind
    versions: tuple[StepVersion, ...] = ()
    needs: frozenset[int] = frozenset()
    paper: str | None = None

    def version(self, n: int) -> StepVersion | None:
        """The version of that number, or None."""
        return next((v for v in self.versions if v.n == n), None)

    def version_on(self, day: date) -> StepVersion | None:
        """The version in force on a day; the first one also before its time."""
        in_force = [v for v in self.versions if v.from_on <= day]
        if in_force:
            return max(in_force, key=lambda v: (v.from_on, v.n))
        return self.versions[0] if self.versions else None


@dataclass(frozen=True)
class TrackStep:
    """A step in its place on a track; needed only from a day on, where one is given."""

    step: Step
    needed_from: date | None = None


@dataclass(frozen=True, kw_only=True)
class TrackVersion(Known):
    """The ordered steps of a track, in force from a day."""

    n: int
    from_on: date
    steps: tuple[TrackStep, ...]


@dataclass(frozen=True)
class Track:
    """Ordered steps that lead to one role, and the youngest age on the day of the event.

    `youngest_with_guardian` is lower where a person may come along with their own guardian.
    """

    id: int
    code: str
    name: str
    role: Role
    youngest_age: int
    versions: tuple[TrackVersion, ...]
    youngest_with_guardian: int | None = None

    def windows(self) -> list[tuple[TrackVersion, Span]]:
        """Each version with the days on which it is in force."""
        ordered = sorted(self.versions, key=lambda v: (v.from_on, v.n))
        ends = [v.from_on for v in ordered[1:]] + [OPEN_END]
        return [(v, (v.from_on, end)) for v, end in zip(ordered, ends, strict=True)]

    def version_on(self, day: date) -> TrackVersion | None:
        """The version in force on a day, or None before the first."""
        return next((v for v, (first, end) in self.windows() if first <= day < end), None)


@dataclass(frozen=True, kw_only=True)
class FinishedStep(Known):
    """A person finished a step on a day. `own_until` is the last valid day printed on a card."""

    step: int
    n: int
    done_on: date
    own_until: date | None = None
    source: Source = Source.COORDINATOR
    score: float | None = None
    confirmations: tuple[Known, ...] = ()
    id: int = 0

    @property
    def is_confirmed(self) -> bool:
        """Whether a coordinator has confirmed it."""
        return bool(self.confirmations)


@dataclass(frozen=True, kw_only=True)
class Exemption(Known):
    """A coordinator's recorded exemption of a person from a step; half-open days."""

    step: int
    from_on: date
    until_on: date | None = None


Seasons = tuple[Span, ...]
"""The collecting years as half-open spans."""


def why_it_does_not_count(finished: FinishedStep, step: Step) -> Reason | None:
    """Why a finished step never counts: not confirmed, or below the pass mark; None if it does."""
    version = step.version(finished.n)
    if version is None:
        return Reason("step_missing", {"step": step.name})
    if finished.source is Source.SELF and not (version.self_counts or finished.is_confirmed):
        return Reason("step_unconfirmed", {"step": step.name, "done_on": finished.done_on})
    below = (
        version.pass_mark is not None
        and finished.score is not None
        and finished.score < version.pass_mark
    )
    if below:
        facts = {"step": step.name, "score": finished.score, "mark": version.pass_mark}
        return Reason("step_below_mark", facts)
    return None


def days_of(finished: FinishedStep, step: Step, seasons: Seasons) -> Span | None:
    """The days on which a finished step counts, or None: from the day done to the last valid day.

    The last valid day is the one on the card where there is one, else the day before the
    anniversary (or the season's last day); a version that renews ends it the day before it begins.
    """
    version = step.version(finished.n)
    if version is None or why_it_does_not_count(finished, step) is not None:
        return None
    until = _until(finished.done_on, finished.own_until, version.validity, seasons)
    renewed = _renewed_on(finished, step)
    return finished.done_on, max(finished.done_on, min(until, renewed))


def _until(done_on: date, own_until: date | None, validity: str | None, seasons: Seasons) -> date:
    if own_until is not None:
        return day_after(own_until)
    if validity is None:
        return OPEN_END
    if validity == SEASON_END:
        return season_end_after(done_on, seasons)
    return until_of(done_on, validity)


def _renewed_on(finished: FinishedStep, step: Step) -> date:
    later = (v.from_on for v in step.versions if v.renews and v.n > finished.n)
    return min(later, default=OPEN_END)


@lru_cache(maxsize=65536)
def until_of(first: date, validity: str) -> date:
    """The day after the last valid day of a duration that begins on `first`."""
    return day_after(last_valid_day(first, validity))


def day_after(day: date) -> date:
    """The next day, or OPEN_END where there is none."""
    return OPEN_END if day >= OPEN_END - timedelta(days=1) else day + timedelta(days=1)


def season_end_after(day: date, seasons: Seasons) -> date:
    """The day after the end of the season that holds the day, else of the next season to come.

    With no such season on record: after 31 December of that year (our own default).
    """
    ends = [until for _first, until in seasons if until > day]
    return min(ends) if ends else date(day.year + 1, 1, 1)


def why_not_held(
    step: Step, finished: Sequence[FinishedStep], seasons: Seasons, day: date
) -> Reason:
    """Why a step does not hold on a day, by what was finished last; `finished` is of this step."""
    before = [f for f in finished if f.done_on <= day]
    if not before:
        if not finished:
            return Reason("step_missing", {"step": step.name})
        first = min(f.done_on for f in finished)
        return Reason("step_not_yet", {"step": step.name, "done_on": first})
    newest = max(before, key=lambda f: (f.done_on, f.n))
    refused = why_it_does_not_count(newest, step)
    if refused is not None:
        return refused
    ended = _last_end(before, step, seasons)
    renewed = _renewed_on(newest, step)
    if renewed <= ended:
        return Reason("step_renewed", {"step": step.name, "from_on": renewed})
    return Reason("step_lapsed", {"step": step.name, "last_day": ended - timedelta(days=1)})


def _last_end(finished: Iterable[FinishedStep], step: Step, seasons: Seasons) -> date:
    spans = [days_of(f, step, seasons) for f in finished]
    return max(span[1] for span in spans if span is not None)
