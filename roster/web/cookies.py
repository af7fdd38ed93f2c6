"""The two cookies of signing in: who is signed in, and which browser asked for a link."""

from __future__ import annotations

from flask import current_app, request
from werkzeug.wrappers import Response

from roster.services.sessions import VOLUNTEER

_SESSION, _PENDING = "roster_session", "roster_pending"


def _secure() -> bool:
    return bool(current_app.config["SESSION_COOKIE_SECURE"])


def _name(base: str) -> str:
    # the prefix makes browsers refuse a cookie that another host or plain http has set
    return f"__Host-{base}" if _secure() else base


def session_token() -> str | None:
    """The secret of the session, if the browser has one."""
    return request.cookies.get(_name(_SESSION))


def pending_secret() -> str | None:
    """The secret of the browser that asked for a link, if it did."""
    return request.cookies.get(_name(_PENDING))


def keep_session(response: Response, token: str) -> Response:
    """Sign this browser in; its asking is over."""
    _set(response, _SESSION, token, int(VOLUNTEER.whole.total_seconds()))
    drop(response, _PENDING)
    return response


def keep_pending(response: Response, secret: str) -> Response:
    """Remember that this browser asked, for an hour."""
    _set(response, _PENDING, secret, 3600)
    return response


def drop_session(response: Response) -> Response:
    """Sign this browser out and empty what it kept."""
    drop(response, _SESSION)
    response.headers["Clear-Site-Data"] = '"cache", "storage"'
    return response


def drop(response: Response, base: str) -> None:
    """Take a cookie away."""
    response.delete_cookie(_name(base), path="/", secure=_secure(), httponly=True, samesite="Lax")


def _set(response: Response, base: str, value: str, seconds: int) -> None:
    response.set_cookie(
        _name(base), value, max_age=seconds, path="/", secure=_secure(), httponly=True,
        samesite="Lax",
    )  # fmt: skip
