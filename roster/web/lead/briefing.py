"""Briefing: topics to speak, who heard them, late comers, and readings that stop work."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.services import briefings, fieldsheet
from roster.web.access import Audience, actor, allow
from roster.web.lead import asked
from roster.web.page import _, operation, tell

blueprint = Blueprint("briefing", __name__)


def _back(event_id: int, anchor: str | None = None) -> Response:
    return redirect(url_for("briefing.page", event_id=event_id, _anchor=anchor), 303)


@blueprint.get("/field/<int:event_id>/briefing")
@allow(Audience.STAFF, Audience.LEAD, Audience.DUTY, of="event")
def page(event_id: int) -> str:
    """The topics of this event, driving first, and who heard them."""
    return render_template("lead/briefing.html", sheet=fieldsheet.sheet(actor(), event_id))


@blueprint.post("/field/<int:event_id>/briefing")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def record(event_id: int) -> Response:
    """Keep that a briefing was spoken, and by whom it was heard."""
    topics = request.form.getlist("topic")
    briefings.record(actor(), event_id, topics, asked.spots(), str(operation()))
    tell(_("The briefing is recorded."))
    return _back(event_id)


@blueprint.post("/field/<int:event_id>/briefing/late")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def late(event_id: int) -> Response:
    """Keep that late comers were briefed."""
    briefings.tell_late(actor(), event_id, asked.spots(), str(operation()))
    tell(_("Recorded: they heard the briefing."))
    return _back(event_id)


@blueprint.post("/field/<int:event_id>/reading")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def reading(event_id: int) -> Response:
    """Keep what the lead reads or hears now."""
    kind = request.form.get("kind", "")
    value = asked.number("value") if request.form.get("value", "").strip() else 1
    briefings.add_reading(actor(), event_id, kind, value, str(operation()))
    tell(_("The reading is recorded."))
    return _back(event_id, "readings")
