"""Head count and finish: out, in, handed over; how the event ended."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.events import NothingTaken
from roster.services import fieldday, fieldsheet
from roster.services.fieldday import Counting
from roster.web.access import Audience, actor, allow
from roster.web.lead import asked
from roster.web.page import _, operation, tell

blueprint = Blueprint("headcount", __name__)


@blueprint.get("/field/<int:event_id>/count")
@allow(Audience.STAFF, Audience.LEAD, Audience.DUTY, of="event")
def page(event_id: int) -> str:
    """Who is out, who is back, who waits to be handed over."""
    return render_template("lead/count.html", sheet=fieldsheet.sheet(actor(), event_id))


@blueprint.post("/field/<int:event_id>/count")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def count(event_id: int) -> Response:
    """Count people out or in, or hand a minor over."""
    spots, way = asked.spots(), request.form.get("way", "")
    if not spots:
        tell(_("Mark at least one person first."), "warn")
    else:
        wish = Counting(spots, way, request.form.get("to_whom", ""))
        out = fieldday.count(actor(), event_id, wish, str(operation()))
        tell(_("Counted. %(n)s are out.", n=out))
    return redirect(url_for("headcount.page", event_id=event_id), 303)


@blueprint.get("/field/<int:event_id>/finish")
@allow(Audience.STAFF, Audience.LEAD, Audience.DUTY, of="event")
def finish_page(event_id: int) -> str:
    """What is still open, and how the event ended."""
    sheet = fieldsheet.sheet(actor(), event_id)
    return render_template("lead/finish.html", sheet=sheet, whys=[w.value for w in NothingTaken])


@blueprint.post("/field/<int:event_id>/finish")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def finish(event_id: int) -> Response:
    """Close the event."""
    outcome = request.form.get("outcome") or None
    why = request.form.get("nothing_taken") or None
    fieldday.finish(
        actor(), event_id, outcome, why if outcome == "nothing_taken" else None, str(operation())
    )
    tell(_("The event is closed. Thank you for bringing everybody home."))
    return redirect(url_for("headcount.finish_page", event_id=event_id), 303)
