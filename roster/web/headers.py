"""Headers of every answer, the request's number and log line, and who may reach a development."""

from __future__ import annotations

import logging
import secrets
import time
from ipaddress import ip_address
from urllib.parse import urlsplit

from flask import Flask, Response, abort, g, request
from werkzeug.middleware.proxy_fix import ProxyFix

from roster import logs
from roster.config import Config
from roster.web import requests

log = logging.getLogger("roster.request")

CONTENT_SECURITY_POLICY = (
    "default-src 'self'; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # none that is mistaken for another on the phone
FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip")
COMMON = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=()",
}
LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
SAFE = ("GET", "HEAD", "OPTIONS")
HSTS = "max-age=31536000; includeSubDomains"


def request_number() -> str:
    """The number by which a person and the log speak of the same request."""
    return str(g.get("request_number", ""))


def wire(app: Flask, config: Config) -> None:
    """Number each request, keep development to this machine, and put the headers on."""
    own = urlsplit(config.base_url).hostname or "localhost"
    app.config["TRUSTED_HOSTS"] = (
        ["localhost", "127.0.0.1", "[::1]"] if config.development else [own]
    )
    if config.proxy_hops:
        hops = config.proxy_hops
        app.wsgi_app = ProxyFix(app.wsgi_app, hops, hops, hops)  # type: ignore[method-assign]

    def begin() -> None:
        signs = "".join(secrets.choice(SIGNS) for _ in range(8))
        g.request_number = f"{signs[:4]}-{signs[4:]}"
        logs.begin(g.request_number)
        g.began = time.perf_counter()
        if config.development:
            _only_this_machine()
        if request.method not in SAFE and request.headers.get("Sec-Fetch-Site") == "cross-site":
            abort(403)
        requests.check()

    # before the access check, which already reads the database
    app.before_request_funcs.setdefault(None, []).insert(0, begin)

    @app.after_request
    def finish(response: Response) -> Response:
        response.headers["X-Request-ID"] = request_number()
        _put(response, secure=not config.development)
        _log(response)
        return response


def _only_this_machine() -> None:
    """A development answers nobody but this machine, directly."""
    if any(name in request.headers for name in FORWARDED):
        abort(403)
    try:
        here = ip_address(request.remote_addr or "").is_loopback
    except ValueError:
        here = False
    if not here:
        abort(403)


def _put(response: Response, *, secure: bool) -> None:
    for name, value in COMMON.items():
        response.headers.setdefault(name, value)
    if secure:
        response.headers.setdefault("Strict-Transport-Security", HSTS)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"


def _log(response: Response) -> None:
    asking = g.get("actor")
    log.info(
        "request",
        extra={
            "actor": asking.person if asking else None,
            "route": request.endpoint,
            "method": request.method,
            "status": response.status_code,
            "ms": round((time.perf_counter() - g.get("began", time.perf_counter())) * 1000, 1),
            "queries": logs.statements(),
        },
    )
