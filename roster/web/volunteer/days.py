"""My days: the first screen of a volunteer, and what can be done about each day."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.services import briefings, leads, mydays, spots
from roster.web.access import Audience, actor, allow
from roster.web.page import _, operation, tell

blueprint = Blueprint("days", __name__)


def _back() -> Response:
    return redirect(url_for("days.first"), 303)


def _me() -> int:
    return actor().person or 0


@blueprint.get("/days")
@allow(Audience.PERSON)
def first() -> str:
    """What I am on, wait for, or was asked."""
    return render_template("volunteer/days.html", found=mydays.my_days(actor()))


@blueprint.post("/days/<int:event_id>/withdraw")
@allow(Audience.PERSON)
def withdraw(event_id: int) -> Response:
    """I cannot come."""
    why = request.form.get("why", "")
    found = spots.withdraw(actor(), event_id, _me(), why, str(operation()))
    if found["alarm"]:
        tell(_("You have withdrawn. This comes late for the others: please call as well."), "warn")
    else:
        tell(_("You have withdrawn."))
    return _back()


@blueprint.post("/days/<int:event_id>/accept")
@allow(Audience.PERSON)
def accept(event_id: int) -> Response:
    """Yes to an offered spot."""
    spots.accept_offer(actor(), event_id, _me(), str(operation()))
    tell(_("The spot is yours."))
    return _back()


@blueprint.post("/days/<int:event_id>/decline")
@allow(Audience.PERSON)
def decline(event_id: int) -> Response:
    """No to an offered spot."""
    spots.decline_offer(actor(), event_id, _me(), str(operation()))
    tell(_("Thank you for saying so; the next on the list is asked."))
    return _back()


@blueprint.post("/days/<int:event_id>/lead")
@allow(Audience.PERSON)
def answer_lead(event_id: int) -> Response:
    """Yes or no to being asked to lead or to collect data."""
    role = request.form.get("role", "lead")
    if request.form.get("answer") == "yes":
        leads.agree(actor(), event_id, role, str(operation()))
        tell(_("Thank you. The event is on your days, and the coordinator sees it."))
    else:
        leads.decline(actor(), event_id, role, str(operation()))
        tell(_("Thank you for saying so; somebody else is asked."))
    return _back()


@blueprint.post("/days/<int:event_id>/briefed")
@allow(Audience.PERSON)
def briefed(event_id: int) -> Response:
    """I heard the briefing."""
    briefings.acknowledge(actor(), event_id, str(operation()))
    tell(_("Noted: you heard the briefing."))
    return _back()
