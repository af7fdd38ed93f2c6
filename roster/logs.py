"""Logs as JSON lines; a request's number is in each, no address or token ever is."""

from __future__ import annotations

import json
import logging
import re
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TextIO

request_id: ContextVar[str | None] = ContextVar("roster_request_id", default=None)
_statements: ContextVar[list[int] | None] = ContextVar("roster_statements", default=None)

# What must never reach a log, wherever it came from: mail addresses and secrets in paths.
PRIVATE = (
    (re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+"), "<address>"),
    (re.compile(r"(/(?:feeds|l|enter|seen|sign-in)/)[A-Za-z0-9._~-]{8,}"), r"\1<secret>"),
)
STANDARD = set(vars(logging.makeLogRecord({}))) | {"message", "asctime", "taskName"}


def begin(number: str) -> None:
    """From here on, log lines of this thread carry the request's number; statements count anew."""
    request_id.set(number)
    _statements.set([0])


def count_statement() -> None:
    """One more statement went to the database."""
    counter = _statements.get()
    if counter is not None:
        counter[0] += 1


def statements() -> int:
    """How many statements the request in hand has cost so far."""
    counter = _statements.get()
    return counter[0] if counter else 0


def cleaned(text: str) -> str:
    """The text without addresses and secrets."""
    for pattern, instead in PRIVATE:
        text = pattern.sub(instead, text)
    return text


class JsonLines(logging.Formatter):
    """One JSON object a line."""

    def format(self, record: logging.LogRecord) -> str:
        """The record with its time (UTC), level, name, text, request and extras."""
        told: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "name": record.name,
            "text": cleaned(record.getMessage()),
        }
        number = getattr(record, "request_id", None) or request_id.get()
        if number:
            told["request_id"] = number
        for key, value in vars(record).items():
            if key not in STANDARD and key != "request_id":
                told[key] = cleaned(value) if isinstance(value, str) else value
        if record.exc_info:
            told["trace"] = cleaned(self.formatException(record.exc_info))
        return json.dumps(told, default=str)


def to_stream(level: str, stream: TextIO) -> None:
    """Log to a stream, as the web and job processes do."""
    _install(logging.StreamHandler(stream), level)


def to_file(level: str, path: Path) -> None:
    """Log to a file, as commands do, whose standard output is their answer."""
    path.parent.mkdir(parents=True, exist_ok=True)
    _install(logging.FileHandler(path, delay=True), level)


def _install(handler: logging.Handler, level: str) -> None:
    handler.setFormatter(JsonLines())
    root = logging.getLogger()
    for old in [h for h in root.handlers if isinstance(h.formatter, JsonLines)]:
        root.removeHandler(old)
        old.close()
    root.addHandler(handler)
    root.setLevel(level)
