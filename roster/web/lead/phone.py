"""The phone list: whom to call within a day of the start, ticked as they are told."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason
from roster.services import fieldsheet, phone_list
from roster.web.access import Audience, actor, allow
from roster.web.page import _, operation, tell

blueprint = Blueprint("phone", __name__)
WHO = (Audience.STAFF, Audience.LEAD, Audience.DUTY)


@blueprint.get("/field/<int:event_id>/phone-list")
@allow(*WHO, of="event")
def page(event_id: int) -> str:
    """Everybody on the crew with a number, those first who are still to be told."""
    found = phone_list.phone_page(actor(), event_id)
    sheet = fieldsheet.sheet(actor(), event_id)
    return render_template("lead/phone.html", found=found, sheet=sheet)


@blueprint.post("/field/<int:event_id>/phone-list")
@allow(*WHO, of="event")
def tick(event_id: int) -> Response:
    """Somebody was told, or was not after all."""
    said = request.form.get("person", "")
    if not said.isascii() or not said.isdigit() or len(said) > 15:
        raise BadInput("person", said, Reason("bad_number", {"value": said[:40]}))
    told = request.form.get("told") != "no"
    left = phone_list.tick(actor(), event_id, int(said), told, str(operation()))
    tell(_("Noted. %(n)s are still to be told.", n=left) if left else _("Everybody is told."))
    return redirect(url_for("phone.page", event_id=event_id), 303)
