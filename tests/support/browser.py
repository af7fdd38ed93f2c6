"""A browser for tests: keeps cookies, fills in the hidden fields of forms, shares no context.

Flask reuses an application context that is open already, and `g` with it; each request of this
browser runs outside, as it does behind a server.
"""

from __future__ import annotations

import re
from contextvars import Context
from typing import Any
from uuid import uuid4

from flask import Flask
from werkzeug.test import TestResponse

from roster.domain.people import system
from roster.services import sessions
from roster.store.transaction import write

COOKIE = "roster_session"
_TOKEN = re.compile(r'name="csrf_token" value="([^"]+)"')


class Browser:
    """One browser. `person` is signed in (None: nobody)."""

    def __init__(self, app: Flask, person: int | None = None) -> None:
        self.client = app.test_client()
        if person is not None:
            token = write(
                lambda store: sessions.make(store, person, "link", "test"), actor=system("test")
            )
            self.client.set_cookie(COOKIE, token)

    def open(self, path: str, **options: Any) -> TestResponse:
        """One request, as it is given."""
        return Context().run(self.client.open, path, **{"buffered": True} | options)

    def get(self, path: str, **options: Any) -> TestResponse:
        """Look at a page."""
        return self.open(path, method="GET", **options)

    def text(self, path: str) -> str:
        """A page as text; it must be there."""
        answer = self.get(path)
        assert answer.status_code == 200, (path, answer.status_code, answer.location)
        return answer.get_data(as_text=True)

    def token(self) -> str:
        """The token against forged forms, as every page carries it."""
        found = _TOKEN.search(self.text("/sign-in"))
        assert found
        return found.group(1)

    def post(self, path: str, **values: Any) -> TestResponse:
        """Send a form with its hidden fields (`op` may be given)."""
        hidden = {"csrf_token": self.token(), "op": str(uuid4())}
        return self.open(path, method="POST", data=hidden | values)

    @property
    def session(self) -> str | None:
        """The secret of the session, if this browser is signed in."""
        kept = self.client.get_cookie(COOKIE)
        return kept.value if kept else None
