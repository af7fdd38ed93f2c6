"""Every error as a page (or JSON, where that is asked for): status, what happened, what to do."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import Any

from flask import (
    Flask,
    Response,
    current_app,
    g,
    jsonify,
    make_response,
    render_template,
    request,
    url_for,
)
from flask.globals import request_ctx
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from roster.config import Config
from roster.domain.errors import BadInput, Conflict, NotAllowed, NotFound, RuleBroken
from roster.domain.reasons import Reason
from roster.services import clock
from roster.web.headers import request_number
from roster.web.page import bare_frame, language
from roster.words import Said, mark, say
from roster.words.catalogue import translator

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Told:
    """What the page of a status says: title, one sentence, the steps to take."""

    title: str
    lead: str
    steps: tuple[str, ...]


_CHECK = mark("Check the address, or start from your first screen.")
_AGAIN = mark("Open the page again and send the form once more.")
_TOLD = {
    400: Told(mark("We could not read that"), mark("Nothing was changed."), (_AGAIN,)),
    401: Told(mark("Sign in first"), mark("Nothing was changed; you are no longer signed in."),
              (mark("Open the sign-in page and ask for a link."),)),
    403: Told(mark("This is not yours to do"), mark("Nothing was changed."),
              (mark("Ask the coordinator of the region."), _CHECK)),
    404: Told(mark("There is nothing here for you"),
              mark("No page has this address, or it is not yours to see."), (_CHECK,)),
    405: Told(mark("That cannot be done here"), mark("Nothing was changed."), (_CHECK,)),
    413: Told(mark("That is too large"), mark("Nothing was changed."),
              (mark("Send a file of at most 10 MB."),)),
    415: Told(mark("We cannot read that kind of file"), mark("Nothing was changed."),
              (mark("Send a spreadsheet as CSV or XLSX."),)),
    429: Told(mark("Too many tries in a short time"), mark("Nothing was changed."),
              (mark("Wait a few minutes, then try again."),)),
    500: Told(mark("Something broke on our side"),
              mark("What you had saved before is safe. What you just sent was not saved."),
              (mark("Go back and send it again; sending twice does no harm."),)),
}  # fmt: skip


def wire(app: Flask, config: Config) -> None:
    """Answer each kind of error in its way."""
    app.register_error_handler(RuleBroken, lambda e: _refused(e.reasons, 409))
    app.register_error_handler(NotFound, lambda e: _refused((e.reason,), 404))
    app.register_error_handler(BadInput, _bad_input)
    app.register_error_handler(Conflict, lambda e: _refused((e.reason,), 409))
    app.register_error_handler(NotAllowed, lambda e: _refused((Reason("not_allowed"),), 403))
    app.register_error_handler(CSRFError, lambda e: _refused((Reason("form_is_old"),), 400))
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _broken)


def _wants_json() -> bool:
    best = request.accept_mimetypes.best_match(("text/html", "application/json"))
    return request.is_json or best == "application/json"


def _bad_input(error: BadInput) -> Response:
    return _refused((error.reason,), 422, field=error.field, value=str(error.value))


def _refused(reasons: tuple[Reason, ...], status: int, **about: str) -> Response:
    said = [(r.code, say(r, language())) for r in reasons]
    if _wants_json():
        told = [
            {"code": code, "text": s.text, "remedy": s.remedy, "rule": s.rule, "source": s.source}
            for code, s in said
        ]
        body: dict[str, Any] = {"answer": "no", "result": None, "reasons": told}
        if about:
            body["error"] = {**about, "text": said[0][1].text, "remedy": said[0][1].remedy}
        return _json(body, status)
    return _refused_page([s for _code, s in said], status)


def _refused_page(said: list[Said], status: int) -> Response:
    speak = translator(language()).gettext
    title = said[0].text.rstrip(".") if len(said) == 1 else speak(mark("This cannot be done now"))
    lead = speak(mark("Nothing was changed and nobody was told."))
    page = render_template(
        "shared/refused.html", title=title, lead=lead, reasons=said, back=_back()
    )
    return make_response(page, status)


def _http(error: HTTPException) -> Response:
    if error.code is None or error.code < 400:
        return error.get_response()  # type: ignore[return-value]
    if request_ctx.url_adapter is None:  # a host name that is not ours: no address can be made
        return make_response(f"{error.code}\n", error.code, {"Content-Type": "text/plain"})
    if error.code >= 500:
        log.error("answered %s: %s", error.code, error.description)
    answer = _page(error.code)
    for name, value in error.get_headers():
        if name in ("Allow", "Retry-After"):
            answer.headers[name] = value
    return answer


def _broken(error: Exception) -> Response:
    log.error("request failed", exc_info=error)
    g.bare_frame = bare_frame(clock.now())
    return _page(500)


def _page(status: int) -> Response:
    known = status if status in _TOLD else (500 if status >= 500 else 400)
    told = _TOLD[known]
    speak = translator(language()).gettext
    if _wants_json():
        error = {"field": None, "value": None, "text": speak(told.title),
                 "remedy": speak(told.steps[0])}  # fmt: skip
        return _json({"error": error}, status)
    if "actor" not in g:
        g.bare_frame = bare_frame(clock.now())
    page = render_template(
        "shared/error.html", status=status, title=speak(told.title), lead=speak(told.lead),
        steps=[speak(s) for s in told.steps],
        number=request_number(), broke=known == 500,
        back=url_for("signin.ask") if status == 401 else _back(),
    )  # fmt: skip
    return make_response(page, status)


def _json(body: dict[str, Any], status: int) -> Response:
    return make_response(jsonify(body), status)


def _back() -> str:
    """The nearest page above the refused address; it never leaves this host."""
    map_ = current_app.url_map.bind("")
    path = request.path
    if request.method == "GET" and not request.query_string:
        path = path.rstrip("/").rpartition("/")[0]
    while path.strip("/"):
        try:
            map_.match(path, method="GET")
        except HTTPException:
            path = path.rstrip("/").rpartition("/")[0]
        else:
            return path
    return "/"
