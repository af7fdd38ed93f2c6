"""Asking a guardian for consent: one press on the page of a person."""

from __future__ import annotations

from flask import Blueprint, redirect, url_for
from werkzeug.wrappers import Response

from roster.services import consent
from roster.web.access import Audience, actor, allow
from roster.web.page import _, operation, tell

blueprint = Blueprint("consent", __name__)


@blueprint.post("/people/<int:person_id>/guardians/<int:guardian_id>/ask")
@allow(Audience.STAFF, of="person")
def ask(person_id: int, guardian_id: int) -> Response:
    """Mail the guardian the link to read and sign."""
    consent.ask(actor(), person_id, guardian_id, operation())
    tell(_("The guardian is sent the papers to read and sign."))
    return redirect(url_for("people.page", person_id=person_id), 303)
