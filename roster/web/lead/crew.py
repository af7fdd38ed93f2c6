"""Crew check: who is here, what stands against going, and going under way."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, url_for
from werkzeug.wrappers import Response

from roster.services import fieldday, fieldsheet
from roster.web.access import Audience, actor, allow
from roster.web.lead import asked
from roster.web.page import _, operation, tell

blueprint = Blueprint("crew", __name__)


@blueprint.get("/field/<int:event_id>/crew")
@allow(Audience.STAFF, Audience.LEAD, Audience.DUTY, of="event")
def page(event_id: int) -> str:
    """Everybody on the crew with how they stand today, and every finding."""
    return render_template("lead/crew.html", sheet=fieldsheet.sheet(actor(), event_id))


@blueprint.post("/field/<int:event_id>/crew")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def here(event_id: int) -> Response:
    """Keep who is here and who is not."""
    came = fieldday.mark_here(actor(), event_id, asked.here(), str(operation()))
    tell(_("%(n)s are here.", n=came))
    return redirect(url_for("crew.page", event_id=event_id), 303)


@blueprint.post("/field/<int:event_id>/start")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def start(event_id: int) -> Response:
    """Go out: everything is checked anew, and all who are here are counted out."""
    out = fieldday.start(actor(), event_id, str(operation()))
    tell(_("Under way: %(n)s are out.", n=out))
    return redirect(url_for("headcount.page", event_id=event_id), 303)
