"""Calendar feeds at their private addresses: 304 before anything else is read."""

from __future__ import annotations

import gzip
from datetime import UTC, datetime, timedelta

from flask import Blueprint, Response, request
from werkzeug.exceptions import TooManyRequests
from werkzeug.http import http_date

from roster.services import feeds, limits
from roster.services.clock import now
from roster.web.access import Audience, allow

blueprint = Blueprint("feeds", __name__)
CONTENT_TYPE = "text/calendar; charset=utf-8"
_PLAIN = "text/plain; charset=utf-8"
_GUESSES, _HOUR = 60, 3600
_PACKED = "-gz"


@blueprint.get("/feeds/<token>.ics")
@allow(Audience.LINK)
def body(token: str) -> Response:
    """The feed of this address; 304 if the reader has it already, 404 for any other address."""
    found = feeds.find(token)
    if found is None:
        _count_guess()
        return Response("There is no calendar here.\n", 404, content_type=_PLAIN)
    feeds.note_use(found)
    packed = request.accept_encodings.quality("gzip") > 0
    if _has_it(found):
        return _headed(Response(status=304), found, packed=packed)
    content = feeds.body(found)
    answer = Response(content if packed else gzip.decompress(content), content_type=CONTENT_TYPE)
    if packed:
        answer.headers["Content-Encoding"] = "gzip"
    return _headed(answer, found, packed=packed)


def _count_guess() -> None:
    block = limits.block_of(request.remote_addr)
    if not limits.within("feed-guess", block, _GUESSES, _HOUR):
        raise TooManyRequests(retry_after=_HOUR)


def _has_it(found: feeds.Found) -> bool:
    """By tag where the reader sends one; else by date (some calendars know only dates)."""
    if request.if_none_match:
        known = {tag.removesuffix(_PACKED) for tag in request.if_none_match.as_set(True)}
        return found.etag in known or request.if_none_match.star_tag
    since = request.if_modified_since
    return since is not None and _whole(found.changed_at) <= since and not _just_changed(found)


def _whole(at: datetime) -> datetime:
    return at.astimezone(UTC).replace(microsecond=0)


def _just_changed(found: feeds.Found) -> bool:
    """A date says seconds only: a second change within the same one would go unseen."""
    return now() - found.changed_at < timedelta(seconds=2)


def _headed(answer: Response, found: feeds.Found, *, packed: bool) -> Response:
    answer.set_etag(found.etag + (_PACKED if packed else ""))
    if not _just_changed(found):
        answer.headers["Last-Modified"] = http_date(_whole(found.changed_at))
    answer.headers["Cache-Control"] = "private, no-cache"
    answer.headers["Vary"] = "Accept-Encoding"
    answer.headers["X-Robots-Tag"] = "noindex"
    return answer
