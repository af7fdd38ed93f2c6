"""Mailed links with one purpose: a guardian's consent, an answer after a move."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.paper_forms import ConsentScope
from roster.services import asked_again, consent, links
from roster.web.access import Audience, allow
from roster.web.forms.consent import ConsentForm
from roster.web.limited import limited
from roster.web.page import _, operation, refused_at, tell

blueprint = Blueprint("links", __name__)


@blueprint.route("/l/<token>", methods=["GET", "POST"])
@allow(Audience.LINK)
@limited("link", 60, 10, methods=("GET", "POST"))
def open_link(token: str) -> Response | str | tuple[str, int]:
    """GET shows what is asked and changes nothing; POST signs or answers."""
    if links.opened(token).purpose == asked_again.PURPOSE:
        return _after_a_move(token)
    return _consent(token)


def _after_a_move(token: str) -> Response | str:
    if request.method == "GET":
        found = asked_again.page(token)
        return render_template("public/answer_move.html", token=token, found=found)
    state = asked_again.answer(token, request.form.get("answer") == "yes", str(operation()))
    if state == "placed":
        tell(_("Thank you, you are counted on."))
    else:
        tell(_("Thank you for saying so. The others are told in time."))
    return redirect(url_for("links.open_link", token=token), 303)


def _consent(token: str) -> Response | str | tuple[str, int]:
    found = consent.page(token)
    form = ConsentForm()
    if request.method == "GET":
        form.last_day.data = found.last_day
        return _page(token, found, form)
    if not form.validate():
        return _page(token, found, form), 422
    try:
        consent.sign(token, _signed(form), operation())
    except BadInput as error:
        if error.field == "link":
            raise
        refused_at(form, error.field, error.reason)
        return _page(token, found, form), 422
    tell(_("Thank you, your signature is recorded."))
    return redirect(url_for("links.open_link", token=token), 303)


def _page(token: str, found: consent.ConsentPage, form: ConsentForm) -> str:
    return render_template("public/consent.html", token=token, found=found, form=form)


def _signed(form: ConsentForm) -> consent.Signed:
    fetchers = (name.strip() for name in (form.fetched_by.data or "").replace(";", ",").split(","))
    scope = ConsentScope(
        no_signal=bool(form.no_signal.data),
        travel=(form.travel.data or "").strip(),
        fetched_by=tuple(name for name in fetchers if name),
        may_leave_alone=bool(form.may_leave_alone.data),
    )
    shown = tuple(
        int(n) for n in request.form.getlist("form") if n.isascii() and n.isdigit() and len(n) < 19
    )
    return consent.Signed(form.typed_name.data or "", shown, scope, form.last_day.data)
