"""Development only: enter as one of the people of the demo, by one press."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request
from werkzeug.wrappers import Response

from roster.services import enter as entering
from roster.services import sessions
from roster.web import cookies
from roster.web.access import Audience, allow
from roster.web.page import _

blueprint = Blueprint("enter", __name__)


@blueprint.route("/enter/<code>", methods=["GET", "POST"])
@allow(Audience.ANYONE, development=True)
def enter(code: str) -> Response | str:
    """GET shows whom one would be; the press makes the session."""
    found = entering.known(code)
    if request.method == "GET":
        return render_template("public/enter.html", code=found, title=_title(found.role))
    old = cookies.session_token()
    if old:
        sessions.sign_out(old)
    token = entering.enter(code, request.user_agent.string[:120])
    return cookies.keep_session(redirect("/", 303), token)


def _title(role: str) -> str:
    return {
        "coordinator": _("Enter as coordinator"),
        "regional": _("Enter as regional coordinator"),
        "lead": _("Enter as lead"),
        "volunteer": _("Enter as volunteer"),
    }[role]
