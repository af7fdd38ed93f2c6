"""Signing in and out: the address, then the link in this browser or the code."""

from __future__ import annotations

import logging
import secrets
from typing import Any
from urllib.parse import urlsplit

from flask import Blueprint, current_app, redirect, render_template, request, url_for
from flask_wtf import FlaskForm
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.people import ActorKind
from roster.services import first_screen, limits, sessions, signin
from roster.web import cookies
from roster.web.access import Audience, actor, allow
from roster.web.forms.signin import AddressForm, CodeForm
from roster.web.limited import limited
from roster.web.page import _, refused_at, tell

blueprint = Blueprint("signin", __name__)
log = logging.getLogger(__name__)


@blueprint.get("/")
@allow(Audience.ANYONE)
def home() -> Response:
    """The first screen of whoever asks."""
    asking = actor()
    if asking.kind is not ActorKind.PERSON:
        return redirect(url_for("signin.ask"))
    found = first_screen.of(asking)
    return redirect(url_for(found.endpoint, **found.values))


@blueprint.route("/sign-in", methods=["GET", "POST"])
@allow(Audience.ANYONE)
@limited("sign-in", 30, 60)
def ask() -> Response | str | tuple[str, int]:
    """Step 1 and step 2 on one page."""
    address, code = AddressForm(), CodeForm(formdata=None)
    if not address.is_submitted():
        return _page(address, code)
    if not address.validate():
        return _page(address, code), 422
    pending = cookies.pending_secret() or secrets.token_urlsafe(32)
    try:
        signin.ask(address.address.data or "", _browser(pending))
    except BadInput as error:
        refused_at(address, error.field, error.reason)
        return _page(address, code), 422
    onward = redirect(url_for("signin.ask", next=_next()), 303)
    return cookies.keep_pending(onward, pending)


@blueprint.post("/sign-in/code")
@allow(Audience.ANYONE)
@limited("sign-in-code", 30, 10)
def code() -> Response | tuple[str, int]:
    """Step 2: the code, typed in the browser that asked."""
    form = CodeForm()
    try:
        if not form.validate():
            return _page(AddressForm(formdata=None), form), 422
        token = signin.by_code(_browser(cookies.pending_secret() or ""), form.code.data or "")
    except BadInput as error:
        log.info("sign-in refused", extra={"factor": "code"})
        refused_at(form, error.field, error.reason)
        return _page(AddressForm(formdata=None), form), 422
    return _welcome(token, "code")


@blueprint.route("/sign-in/open", methods=["GET", "POST"])
@allow(Audience.ANYONE)
@limited("sign-in-link", 30, 10)
def open_link() -> Response | str | tuple[str, int]:
    """The mailed link: opening it changes nothing, the button signs in, in the asking browser."""
    asked = cookies.pending_secret()
    if request.method == "GET":
        return render_template("public/open_link.html", here=asked is not None, refused=False)
    try:
        token = signin.by_link(_browser(asked or ""), request.form.get("token", "")[:200])
    except BadInput:
        log.info("sign-in refused", extra={"factor": "link"})
        return render_template("public/open_link.html", here=asked is not None, refused=True), 422
    return _welcome(token, "link")


@blueprint.post("/sign-out")
@allow(Audience.ANYONE)
def leave() -> Response:
    """End this browser's session."""
    token = cookies.session_token()
    if token:
        sessions.sign_out(token)
    tell(_("You are signed out."), "info")
    return cookies.drop_session(redirect(url_for("signin.ask"), 303))


def _page(address: FlaskForm, code: FlaskForm) -> str:
    asked = cookies.pending_secret()
    until = signin.asked_until(_browser(asked)) if asked else None
    return render_template(
        "public/sign_in.html", address=address, code=code, until=until, next=_next(),
        minutes=signin.MINUTES,
    )  # fmt: skip


def _browser(secret: str) -> signin.Browser:
    device = request.user_agent.string[:120]
    return signin.Browser(secret, device, limits.block_of(request.remote_addr))


def _welcome(token: str, factor: str) -> Response:
    log.info("signed in", extra={"factor": factor})
    old = cookies.session_token()
    if old:
        sessions.sign_out(old)
    return cookies.keep_session(redirect(_next() or "/", 303), token)


def _next() -> str | None:
    """Where the person wanted to go: only a path of ours that can be read, else None."""
    wanted = request.values.get("next", "")
    if not wanted.startswith("/") or not wanted.isascii() or not wanted.isprintable():
        return None
    if wanted.startswith(("//", "/\\")) or "\\" in wanted or "%" in wanted:
        return None
    parts = urlsplit(wanted)
    if parts.scheme or parts.netloc:
        return None
    adapter: Any = current_app.url_map.bind("")
    try:
        adapter.match(parts.path, method="GET")
    except HTTPException:
        return None
    return wanted
