"""Which screens stand in the head of a page, for whom."""

from __future__ import annotations

from dataclasses import dataclass

from flask import current_app, request, url_for

from roster.domain.people import Actor, ActorKind, StaffRole
from roster.words import mark, word
from roster.words.catalogue import translator

STAFF = (
    (mark("To decide"), "decide.first"),
    (mark("Events"), "events.listing"),
    (mark("People"), "people.listing"),
    (mark("Plants"), "plants.listing"),
    (mark("Places"), "places.listing"),
    (mark("Import"), "exchange.upload"),
    (mark("My days"), "days.first"),
)
COORDINATOR_ONLY = {"exchange.upload"}
VOLUNTEER = (
    (mark("My days"), "days.first"),
    (mark("Where help is needed"), "help.listing"),
    (mark("My training"), "training.mine"),
    (mark("My calendar"), "calendar.mine"),
)


@dataclass(frozen=True)
class Item:
    """One screen in the head of the page."""

    label: str
    href: str
    current: bool


def items(asking: Actor, language: str) -> list[Item]:
    """The screens of a signed-in person; nothing for everybody else."""
    if asking.kind is not ActorKind.PERSON:
        return []
    speak = translator(language).gettext
    here = (request.endpoint or "").split(".")[0]
    hidden = set() if asking.is_coordinator else COORDINATOR_ONLY
    return [
        Item(speak(label), url_for(endpoint), here == endpoint.split(".")[0])
        for label, endpoint in (STAFF if asking.is_staff else VOLUNTEER)
        if endpoint in current_app.view_functions and endpoint not in hidden
    ]


def who(asking: Actor, language: str) -> str:
    """The line at the right of the head: "Marit Solberg, coordinator"."""
    if asking.kind is not ActorKind.PERSON:
        return ""
    order = (StaffRole.COORDINATOR, StaffRole.ACTING, StaffRole.REGIONAL)
    held = [role for role in order if any(g.role is role for g in asking.grants)]
    return f"{asking.name}, {word('staff_role', held[0], language)}" if held else asking.name
