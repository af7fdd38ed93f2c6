"""Tracks as pages and commands ask for them."""

from __future__ import annotations

from roster.domain.people import Role
from roster.domain.training import Step, Track
from roster.store.transaction import read


def role_of(code: str) -> Role:
    """The role that the track of a code leads to. NotFound if there is none."""
    return read(lambda store: store.training.track_of(code).role)


def tracks() -> tuple[Track, ...]:
    """Every track with its versions and steps."""
    return read(lambda store: store.training.tracks())


def steps() -> list[Step]:
    """Every step, by name."""
    return sorted(read(lambda store: store.training.steps()).values(), key=lambda s: s.name)
