"""Addresses of static files carry a hash of their content, so that they may be kept for a year."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from flask import Flask, Response, request, url_for

from roster.config import Config

YEAR = 31_536_000


@cache
def _hash(path: str, changed: float) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:16]


def content_hash(app: Flask, name: str) -> str | None:
    """The first 16 hex digits of a static file's SHA-256; None if there is no such file."""
    path = Path(app.static_folder or "") / name
    try:
        return _hash(str(path), path.stat().st_mtime)
    except OSError:
        return None


def wire(app: Flask, config: Config) -> None:
    """Give templates `url_for_static`, and answer hashed addresses as unchanging."""

    def url_for_static(name: str) -> str:
        """The address of a static file with its hash; a missing file is a fault of ours."""
        found = content_hash(app, name)
        if found is None:
            raise FileNotFoundError(f"static file {name}")
        return url_for("static", filename=name, v=found)

    app.jinja_env.globals["url_for_static"] = url_for_static

    @app.after_request
    def keep(response: Response) -> Response:
        if request.endpoint != "static" or response.status_code not in (200, 304):
            return response
        name = (request.view_args or {}).get("filename", "")
        asked = request.args.get("v")
        if asked and asked == content_hash(app, name):
            response.headers["Cache-Control"] = f"public, max-age={YEAR}, immutable"
        else:
            response.headers["Cache-Control"] = "no-cache"
        return response
