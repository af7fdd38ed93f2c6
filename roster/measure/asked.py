"""Requests handed straight to an application: no socket, no server, no test client."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import Context
from dataclasses import dataclass
from typing import Any

from flask import Flask
from werkzeug.test import EnvironBuilder


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes


class Asked:
    """One GET request that can be put to an application again and again."""

    def __init__(self, app: Flask, path: str, **headers: str) -> None:
        plain = [(name.replace("_", "-"), value) for name, value in headers.items()]
        builder = EnvironBuilder(path, base_url="http://localhost/", headers=plain)
        self._environ = builder.get_environ() | {"REMOTE_ADDR": "127.0.0.1"}
        builder.close()
        self._app = app

    def answer(self) -> Answer:
        """Put it once; it sees nothing of what the caller has open, as a request of a server."""
        return Context().run(self._answer)

    def _answer(self) -> Answer:
        told: dict[str, Any] = {}

        def start(status: str, headers: list[tuple[str, str]], _error: object = None) -> Any:
            told.update(status=status, headers=headers)

        body: Any = self._app.wsgi_app(dict(self._environ), start)
        try:
            content = b"".join(body)
        finally:
            close: Callable[[], None] | None = getattr(body, "close", None)
            if close is not None:
                close()
        return Answer(int(told["status"][:3]), dict(told["headers"]), content)


def hello() -> Asked:
    """A bare application that says one word: what any answer costs at least."""
    app = Flask("hello")
    app.add_url_rule("/", view_func=lambda: "hello")
    return Asked(app, "/")
