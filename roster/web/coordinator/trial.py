"""One change to many events: choose them, try it, send it, take it back."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason
from roster.domain.trial import Act, Wanted
from roster.services import clearance, trial_undo, trials
from roster.services.event_lists import EventFilter
from roster.services.trials import Choice
from roster.web.access import Audience, actor, allow
from roster.web.asking import day_in, number_in, sent_numbers
from roster.web.page import _, operation, tell, tell_with_undo

blueprint = Blueprint("trial", __name__)


@blueprint.get("/trial")
@allow(Audience.STAFF)
def choose() -> str:
    """Events to change together: those a closure touches, those ticked, or of a region and days."""
    found = _chosen()
    return render_template(
        "coordinator/trial_choose.html", found=found, marks=[line.day for line in found.lines]
    )


def _chosen() -> Choice:
    closure = number_in("closure")
    if closure is not None:
        return trials.touched(actor(), closure)
    numbers = [int(n) for n in request.args.getlist("event") if n.isascii() and n.isdigit()]
    first, last, region = day_in("from"), day_in("until"), number_in("region")
    if not (first or last or region):
        return trials.choose(actor(), numbers)
    mine = None if actor().is_coordinator else sorted(actor().regions)
    regions = mine if region is None else [region]
    stages = [stage.value for stage in trials.OPEN_STAGES]
    return trials.choose(actor(), numbers, EventFilter(regions, stages, first=first, last=last))


@blueprint.post("/trial/try")
@allow(Audience.STAFF)
def try_out() -> str:
    """What the change would do to each event; nothing is written or mailed."""
    found = trials.try_out(actor(), _wanted(), sent_numbers("event"))
    return render_template("coordinator/trial.html", found=found, wanted=found.wanted)


@blueprint.post("/trial/send")
@allow(Audience.STAFF)
def send() -> Response:
    """Do it, all of it or nothing, and tell each person once."""
    number = trials.send(actor(), _wanted(), sent_numbers("event"), str(operation()))
    tell_with_undo(
        _("Sent. Mail that can wait leaves in ten minutes; until then you can take it back."),
        url_for("trial.undo", trial_id=number),
    )
    return redirect(url_for("trial.page", trial_id=number), 303)


@blueprint.get("/trial/<int:trial_id>")
@allow(Audience.STAFF)
def page(trial_id: int) -> str:
    """A change that was sent, with its events as they stand."""
    found = trial_undo.sent(actor(), trial_id)
    return render_template(
        "coordinator/trial_sent.html", found=found, marks=[row.day for row in found.events]
    )


@blueprint.post("/trial/<int:trial_id>/undo")
@allow(Audience.STAFF)
def undo(trial_id: int) -> Response:
    """Take it back while no mail has left and nobody has acted on it."""
    trial_undo.take_back(actor(), trial_id, str(operation()))
    tell(_("Taken back: every event stands as before, and nobody was told."))
    return redirect(url_for("trial.page", trial_id=trial_id), 303)


def _wanted() -> Wanted:
    said = request.form.get("act", "")
    if said not in list(Act):
        raise BadInput("act", said, Reason("bad_choice", {"value": said[:40]}))
    act = Act(said)
    who = request.form.get("lead", "").strip()
    lead = clearance.find_person(who) if act is Act.SWAP_LEAD and who else None
    days = _days() if act is Act.MOVE else 0
    return Wanted(act, days, lead, request.form.get("why", "").strip())


def _days() -> int:
    said = request.form.get("days", "").strip()
    digits = said.removeprefix("-").removeprefix("+")
    if not digits.isascii() or not digits.isdigit() or len(digits) > 4:
        raise BadInput("days", said, Reason("bad_number", {"value": said[:40]}))
    return -int(digits) if said.startswith("-") else int(digits)
