"""The board of an event's expected window: what speaks for each day, and fixing one."""

from __future__ import annotations

from datetime import datetime

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason
from roster.services import clearance, event_changes, windows
from roster.web.access import Audience, actor, allow
from roster.web.asking import sent_days, sent_time
from roster.web.page import _, operation, tell

blueprint = Blueprint("board", __name__)


@blueprint.get("/events/<int:event_id>/board")
@allow(Audience.STAFF, of="event")
def page(event_id: int) -> str:
    """Each day of the window: chance ready, who could come, a cleared lead free, adults."""
    found = windows.board(actor(), event_id)
    return render_template(
        "coordinator/board.html", found=found, row=found.event, marks=[d.day for d in found.days]
    )


@blueprint.post("/events/<int:event_id>/board/fix")
@allow(Audience.STAFF, of="event")
def fix(event_id: int) -> Response:
    """Fix one day of the window."""
    days = sent_days("day")
    if len(days) != 1:
        raise BadInput("day", "", Reason("missing_value"))
    start = datetime.combine(days[0], sent_time("start_time"))
    end = datetime.combine(days[0], sent_time("end_time"))
    event_changes.fix_day(actor(), event_id, start, end, str(operation()))
    tell(_("The day is fixed. Who ticked it has a spot or is on the waiting list; all are told."))
    return redirect(url_for("events.page", event_id=event_id, _anchor="crew"), 303)


@blueprint.post("/events/<int:event_id>/board/tick")
@allow(Audience.STAFF, of="event")
def tick(event_id: int) -> Response:
    """Write down on which days somebody could come, who said so by phone."""
    person = clearance.find_person(request.form.get("who", "").strip())
    windows.tick(actor(), event_id, person, sent_days("days"), str(operation()))
    tell(_("Written down."))
    return redirect(url_for("board.page", event_id=event_id, _anchor="who"), 303)
