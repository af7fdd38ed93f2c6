"""The field sheet: the day in five steps, the emergency card, and the printed roster."""

from __future__ import annotations

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from roster.services import emergency, fieldsheet
from roster.web.access import Audience, actor, allow

blueprint = Blueprint("fieldsheet", __name__)
WHO = (Audience.STAFF, Audience.LEAD, Audience.DUTY)


@blueprint.get("/field/<int:event_id>")
@allow(*WHO, of="event")
def page(event_id: int) -> str:
    """What the lead needs first: when back, from when the clock runs, whom to call, the steps."""
    return render_template("lead/sheet.html", sheet=fieldsheet.sheet(actor(), event_id))


@blueprint.get("/field/<int:event_id>/roster")
@allow(*WHO, of="event")
def roster(event_id: int) -> str:
    """One page to print: the crew, the numbers to call, room to write."""
    return render_template("lead/roster.html", sheet=fieldsheet.sheet(actor(), event_id))


@blueprint.post("/field/<int:event_id>/contacts")
@allow(*WHO, of="event")
def contacts(event_id: int) -> str | Response:
    """Emergency contacts of those on the crew; who opened them and why is kept."""
    found = emergency.open_contacts(actor(), event_id, request.form.get("reason", ""))
    return render_template("lead/contacts.html", found=found, event_id=event_id)
