"""Free days of a person, as a coordinator records them from a call."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.services import availability
from roster.web.access import Audience, actor, allow
from roster.web.forms.availability import form_of
from roster.web.page import _, operation, refused_at, tell, tell_with_undo

blueprint = Blueprint("person_free", __name__)


@blueprint.route("/people/<int:person_id>/free-days", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def change(person_id: int) -> Response | str | tuple[str, int]:
    """What the person said of their time, and the form to say it anew."""
    found = availability.free_page(actor(), person_id)
    form = form_of(found, sent=request.method == "POST")
    if request.method == "POST" and form.validate():
        try:
            availability.say_free(actor(), person_id, form.availability(), str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            back = url_for("person_free.undo", person_id=person_id)
            tell_with_undo(_("The free days are recorded."), back)
            return redirect(url_for("people.page", person_id=person_id), 303)
    page = render_template("coordinator/person_free.html", found=found, form=form)
    return page, 422 if form.errors else 200


@blueprint.post("/people/<int:person_id>/free-days/undo")
@allow(Audience.STAFF, of="person")
def undo(person_id: int) -> Response:
    """Take the last change back."""
    availability.take_back(actor(), person_id, str(operation()))
    tell(_("Taken back: what was said before holds again."))
    return redirect(url_for("people.page", person_id=person_id), 303)
