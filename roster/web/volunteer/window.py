"""On which days of an expected window I could come."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.services import windows
from roster.web.access import Audience, actor, allow
from roster.web.asking import sent_days
from roster.web.page import _, operation, tell

blueprint = Blueprint("window", __name__)


@blueprint.route("/days/<int:event_id>/which", methods=["GET", "POST"])
@allow(Audience.PERSON)
def mine(event_id: int) -> Response | str:
    """The days of the window with a box each; no box ticked takes the wish back."""
    if request.method == "GET":
        found = windows.my_window(actor(), event_id)
        return render_template("volunteer/window.html", found=found, row=found.event)
    days = windows.tick(actor(), event_id, actor().person or 0, sent_days("days"), str(operation()))
    if days:
        tell(_("Thank you. You are told as soon as the day is fixed."))
    else:
        tell(_("You are no longer on the list of this event."))
    return redirect(url_for("days.first"), 303)
