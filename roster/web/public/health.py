"""Health pages for whoever watches the service: no personal facts."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify

from roster.domain.reasons import Level
from roster.services import doctor
from roster.web.access import Audience, allow

blueprint = Blueprint("health", __name__)


@blueprint.get("/healthz")
@allow(Audience.ANYONE)
def alive() -> Response:
    """The process answers."""
    return jsonify({"alive": True})


@blueprint.get("/readyz")
@allow(Audience.ANYONE)
def ready() -> tuple[Response, int]:
    """Database at its schema, guards standing, job process beating: 200, else 503."""
    found = doctor.ready()
    good = all(level is not Level.STOP for level in found.values())
    return jsonify({"ready": good, "checks": found}), 200 if good else 503
