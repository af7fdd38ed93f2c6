"""Who is asking, and whether this route is for them: default deny."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeVar

from flask import Flask, abort, g, redirect, request, url_for
from flask_wtf import CSRFProtect
from werkzeug.wrappers import Response

from roster.config import Config
from roster.domain.people import ANONYMOUS, Actor, ActorKind
from roster.services import access as rules
from roster.web.cookies import session_token

csrf = CSRFProtect()
F = TypeVar("F", bound=Callable[..., Any])


class Audience(StrEnum):
    """Whom a route is for. With `of`, the last five mean: as they stand to that object."""

    ANYONE = "anyone"
    LINK = "link"  # the view itself proves the link's secret
    PERSON = "person"  # anyone signed in
    SELF = "self"
    CREW = "crew"
    LEAD = "lead"
    DUTY = "duty"
    STAFF = "staff"  # coordinator, or regional coordinator (of the object's region)
    COORDINATOR = "coordinator"


@dataclass(frozen=True)
class Rule:
    """The declared audience of a route; `of` is the kind of object whose `<kind>_id` it has."""

    audiences: frozenset[Audience]
    of: str | None
    development: bool = False


def allow(
    *audiences: Audience, of: str | None = None, development: bool = False
) -> Callable[[F], F]:
    """Declare whom a view is for. `of="event"` reads the URL's `event_id` and so on."""

    def mark(view: F) -> F:
        view.roster_rule = Rule(frozenset(audiences), of, development)  # type: ignore[attr-defined]
        return view

    return mark


def actor() -> Actor:
    """Who is asking, as loaded for this request."""
    return g.actor  # type: ignore[no-any-return]


def rule_of(app: Flask, endpoint: str) -> Rule | None:
    """The declared rule of an endpoint; Flask's own static files are for anyone."""
    if endpoint == "static":
        return Rule(frozenset({Audience.ANYONE}), None)
    return getattr(app.view_functions[endpoint], "roster_rule", None)


def wire(app: Flask, config: Config) -> None:
    """Check every request before its view."""
    csrf.init_app(app)

    @app.before_request
    def check() -> Response | None:
        g.actor = ANONYMOUS
        if request.endpoint is None:
            return None
        rule = rule_of(app, request.endpoint)
        if rule is None:
            abort(500, f"route {request.endpoint} declares no audience")
        if rule.development and not config.development:
            abort(404)
        if request.endpoint != "static":
            g.actor = rules.actor_of_session(session_token())
        return _verdict(rule)


def _verdict(rule: Rule) -> Response | None:
    asking: Actor = g.actor
    if rule.audiences & {Audience.ANYONE, Audience.LINK}:
        return None
    if asking.kind is ActorKind.ANONYMOUS:
        if request.method in ("GET", "HEAD"):
            return redirect(url_for("signin.ask", next=request.full_path.rstrip("?")))
        abort(401)
    if Audience.PERSON in rule.audiences or (
        Audience.COORDINATOR in rule.audiences and asking.is_coordinator
    ):
        return None
    if rule.of is None:
        if Audience.STAFF in rule.audiences and asking.is_staff:
            return None
        abort(403)
    number = (request.view_args or {}).get(f"{rule.of}_id")
    relations = rules.relations(asking, rule.of, int(number or 0))
    if relations is None or not relations & {a.value for a in rule.audiences}:
        abort(404)
    return None
