"""Tracks, steps and their versions; finished steps, confirmations and exemptions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from itertools import groupby
from typing import Any

from sqlalchemy import Select, Table, func, select
from sqlalchemy.orm import aliased

from roster.domain.errors import NotFound
from roster.domain.people import Role
from roster.domain.training import Step, StepKind, StepVersion, Track, TrackStep, TrackVersion
from roster.store.models.people import person
from roster.store.models.training import (
    completion,
    confirmation,
    exemption,
    prerequisite,
    step,
    step_version,
    track,
    track_step,
    track_version,
)
from roster.store.rows import made, made_or_none
from roster.store.unit import Unit


@dataclass(frozen=True)
class CompletionRow:
    """A finished step as a page shows it. `confirmed`: by a coordinator, or never in need of it."""

    id: int
    person: int
    step: int
    step_name: str
    n: int
    done_on: date
    own_until: date | None
    source: str
    score: float | None
    recorded_at: datetime
    recorded_by: str | None
    confirmed: bool
    ended_at: datetime | None


class Training:
    """Reads and adds what training is made of."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    # rules

    def steps(self, *, history: bool = False) -> dict[int, Step]:
        """Every step with its versions, in three statements; with `history` ended ones too."""
        found = self.unit.run(_known(_STEP_VERSIONS, step_version, history))
        versions = {
            number: tuple(_version(row) for row in rows)
            for number, rows in groupby(found, key=lambda row: row.step)
        }
        needs: dict[int, set[int]] = {}
        for row in self.unit.run(_NEEDS):
            needs.setdefault(row.step, set()).add(row.needs)
        return {
            row.id: Step(
                id=row.id, code=row.code, name=row.name, kind=StepKind(row.kind),
                versions=versions.get(row.id, ()), needs=frozenset(needs.get(row.id, ())),
                paper=row.paper,
            )
            for row in self.unit.run(_STEPS)
        }  # fmt: skip

    def tracks(self, *, history: bool = False) -> tuple[Track, ...]:
        """Every track with its versions and their steps, in six statements."""
        steps = self.steps(history=history)
        rows = self.unit.run(_TRACK_STEPS)
        places = {
            key: tuple(TrackStep(steps[row.step], row.needed_from) for row in group)
            for key, group in groupby(rows, key=lambda row: (row.track, row.n))
        }
        kept = self.unit.run(_known(_TRACK_VERSIONS, track_version, history))
        versions = {
            number: tuple(
                TrackVersion(
                    n=row.n, from_on=row.from_on, steps=places.get((row.track, row.n), ()),
                    recorded_at=row.recorded_at, ended_at=row.ended_at,
                )
                for row in group
            )
            for number, group in groupby(kept, key=lambda row: row.track)
        }  # fmt: skip
        return tuple(
            Track(
                row.id, row.code, row.name, Role(row.role), row.youngest_age,
                versions.get(row.id, ()), row.youngest_with_guardian,
            )
            for row in self.unit.run(_TRACKS)
        )  # fmt: skip

    def step_of(self, code: str) -> Step:
        """The step of that code. NotFound if there is none."""
        found = next((s for s in self.steps().values() if s.code == code), None)
        if found is None:
            raise NotFound("step", code)
        return found

    def add_step(self, needs: Iterable[int], **values: Any) -> int:
        """A new step and the steps that come before it; gives its number."""
        number = self.unit.insert(step, **values)
        rows = [{"step": number, "needs": other} for other in sorted(set(needs))]
        if rows:
            self.unit.run(prerequisite.insert(), rows)
        return number

    def add_step_version(self, number: int, **values: Any) -> int:
        """A new version of a step, in force from a day."""
        return self.unit.insert(step_version, step=number, **values)

    def add_track(self, **values: Any) -> int:
        """A new track; gives its number."""
        return self.unit.insert(track, **values)

    def track_of(self, code: str) -> Track:
        """The track of that code. NotFound if there is none."""
        found = next((t for t in self.tracks() if t.code == code), None)
        if found is None:
            raise NotFound("track", code)
        return found

    def add_track_version(
        self, number: int, n: int, from_on: date, steps: Sequence[tuple[int, date | None]]
    ) -> None:
        """A new version of a track: its steps in order, each with the day it is needed from."""
        self.unit.insert(track_version, track=number, n=n, from_on=from_on)
        rows = [
            {"track": number, "n": n, "step": s, "ordinal": place, "needed_from": needed}
            for place, (s, needed) in enumerate(steps, start=1)
        ]
        self.unit.run(track_step.insert(), rows)

    # finished steps

    def add_completion(self, **values: Any) -> int:
        """A finished step; gives the number of its row."""
        return self.unit.insert(completion, **values)

    def completion(self, number: int) -> CompletionRow:
        """One finished step. NotFound if there is none."""
        rows = self.unit.run(_completions().where(completion.c.id == number)).one_or_none()
        found = made_or_none(CompletionRow, rows)
        if found is None:
            raise NotFound("step", number)
        return found

    def completions_of(self, numbers: Sequence[int]) -> list[CompletionRow]:
        """The finished steps on record of these persons, newest first."""
        rows = self.unit.run(
            _completions()
            .where(completion.c.person.in_(numbers), completion.c.ended_at.is_(None))
            .order_by(completion.c.done_on.desc(), completion.c.id.desc())
        )
        return [made(CompletionRow, row) for row in rows]

    def end_completion(self, number: int, why: str) -> bool:
        """Void a finished step; False if it was ended before."""
        return self.unit.end(completion, [number], why) == 1

    def add_confirmation(self, number: int) -> int:
        """A coordinator's confirmation of a finished step."""
        return self.unit.insert(confirmation, completion=number)

    def add_exemption(self, number: int, of_step: int, from_on: date, until_on: date | None) -> int:
        """Exempt a person from a step from a day to a day (half-open)."""
        return self.unit.insert(
            exemption, person=number, step=of_step, from_on=from_on, until_on=until_on
        )


# Read by every verdict, so they are made once.
_v, _t, _p = step_version.c, track_version.c, track_step.c
_STEP_VERSIONS = select(
    _v.step, _v.n, _v.from_on, _v.validity, _v.pass_mark, _v.self_counts, _v.renews,
    _v.recorded_at, _v.ended_at,
).order_by(_v.step, _v.n, _v.id)  # fmt: skip
_TRACK_VERSIONS = select(
    _t.track, _t.n, _t.from_on, _t.recorded_at, _t.ended_at
).order_by(_t.track, _t.n)  # fmt: skip
_TRACK_STEPS = select(
    _p.track, _p.n, _p.step, _p.needed_from
).order_by(_p.track, _p.n, _p.ordinal, _p.step)  # fmt: skip
_NEEDS = select(prerequisite.c.step, prerequisite.c.needs)
_STEPS = select(
    step.c.id, step.c.code, step.c.name, step.c.kind, step.c.paper
).order_by(step.c.id)  # fmt: skip
_TRACKS = select(
    track.c.id, track.c.code, track.c.name, track.c.role, track.c.youngest_age,
    track.c.youngest_with_guardian,
).order_by(track.c.id)  # fmt: skip


@cache
def _known(query: Select[Any], table: Table, history: bool) -> Select[Any]:
    """Without history only the rows that have not ended."""
    return query if history else query.where(table.c.ended_at.is_(None))


def _version(row: Any) -> StepVersion:
    return StepVersion(
        n=row.n, from_on=row.from_on, validity=row.validity, pass_mark=row.pass_mark,
        self_counts=bool(row.self_counts), renews=bool(row.renews),
        recorded_at=row.recorded_at, ended_at=row.ended_at,
    )  # fmt: skip


def _completions() -> Any:
    c, by = completion.c, aliased(person)
    confirmed = (
        select(func.count())
        .where(confirmation.c.completion == c.id, confirmation.c.ended_at.is_(None))
        .scalar_subquery()
    )
    return (
        select(
            c.id, c.person, c.step, step.c.name.label("step_name"), c.n, c.done_on, c.own_until,
            c.source, c.score, c.recorded_at, by.c.name.label("recorded_by"),
            ((c.source != "self") | (confirmed > 0)).label("confirmed"), c.ended_at,
        )
        .join(step, step.c.id == c.step)
        .outerjoin(by, by.c.id == c.recorded_by)
    )  # fmt: skip
