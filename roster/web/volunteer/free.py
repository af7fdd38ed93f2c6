"""My free days: when I can come, how far, how often, what I know."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.services import availability
from roster.web.access import Audience, actor, allow
from roster.web.forms.availability import form_of
from roster.web.page import _, operation, refused_at, tell, tell_with_undo

blueprint = Blueprint("free", __name__)


@blueprint.route("/my-free-days", methods=["GET", "POST"])
@allow(Audience.PERSON)
def mine() -> Response | str | tuple[str, int]:
    """What I said of my time, and the form to say it anew."""
    me = actor().person or 0
    found = availability.free_page(actor(), me)
    form = form_of(found, sent=request.method == "POST")
    if request.method == "POST" and form.validate():
        try:
            availability.say_free(actor(), me, form.availability(), str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell_with_undo(_("Your free days are recorded."), url_for("free.undo"))
            return redirect(url_for("free.mine"), 303)
    page = render_template("volunteer/free.html", found=found, form=form)
    return page, 422 if form.errors else 200


@blueprint.post("/my-free-days/undo")
@allow(Audience.PERSON)
def undo() -> Response:
    """Take the last change back."""
    availability.take_back(actor(), actor().person or 0, str(operation()))
    tell(_("Taken back: what you said before holds again."))
    return redirect(url_for("free.mine"), 303)
