"""Where help is needed: events that take people, and signing up for one."""

from __future__ import annotations

from flask import Blueprint, current_app, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.events import EventKind
from roster.services import helpwanted, spots
from roster.services.helpwanted import HelpFilter
from roster.web.access import Audience, actor, allow
from roster.web.asking import number_in, page_number, word_in
from roster.web.page import _, language, operation, tell
from roster.words import word

blueprint = Blueprint("help", __name__)
DISTANCES = (50, 100, 150, 300)


@blueprint.get("/help-wanted")
@allow(Audience.PERSON)
def listing() -> str:
    """A page of events that need people, with what I may do about each."""
    wanted = HelpFilter(
        km=number_in("km"),
        kind=word_in("kind", list(EventKind)),
        only=request.args.get("only") == "1",
        weekend=request.args.get("weekend") == "1",
    )
    found = helpwanted.help_page(actor(), wanted, page_number())
    return render_template(
        "volunteer/help.html",
        found=found,
        wanted=wanted,
        km_choices=[(km, f"{km} km") for km in DISTANCES],
        kind_choices=[(k.value, word("event_kind", k, language())) for k in EventKind],
        training=_training(),
    )


def _training() -> str | None:
    """The address of My training, where that screen is there."""
    there = "training.mine" in current_app.view_functions
    return url_for("training.mine") if there else None


@blueprint.post("/help-wanted/<int:event_id>/sign-up")
@allow(Audience.PERSON)
def sign_up(event_id: int) -> Response:
    """Sign up, or join the waiting list."""
    role = request.form.get("role", "crew_member")
    found = spots.sign_up(actor(), event_id, actor().person or 0, role, str(operation()))
    if found["state"] == "placed":
        tell(_("You have a spot."))
    elif found["state"] == "waiting":
        tell(_("You are number %(n)s on the waiting list.", n=found["line"]), "warn")
    else:
        tell(_("You are on the list of those who would come; you are told when the day is fixed."))
    return redirect(url_for("days.first"), 303)
