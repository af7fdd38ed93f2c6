"""*Seen it*: the link in a mail about safety. Opening it records nothing; the press does."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.people import ANONYMOUS
from roster.services import messages
from roster.web.access import Audience, allow
from roster.web.page import _, tell

blueprint = Blueprint("seen", __name__)


@blueprint.route("/seen/<token>", methods=["GET", "POST"])
@allow(Audience.LINK)
def page(token: str) -> Response | str:
    """Which message it is about, and the button."""
    title, name = messages.seen_page(token)
    if request.method == "POST":
        messages.see(ANONYMOUS, token)
        tell(_("Thank you: we know now that you have seen it."))
        return redirect(url_for("seen.page", token=token), 303)
    return render_template("public/seen.html", token=token, event=title, name=name)
