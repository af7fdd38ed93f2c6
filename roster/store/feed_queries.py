"""Statements of feeds, each made once: making one would cost more than its answer."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Date,
    Select,
    and_,
    bindparam,
    func,
    literal,
    or_,
    select,
)

from roster.store.feed_values import CalendarEvent
from roster.store.models.events import event, event_revision, event_text, lead_ask, spot
from roster.store.models.land import site
from roster.store.models.messages import feed, feed_body
from roster.store.models.people import person
from roster.store.models.programme import region

SHOWN = ("open", "ready", "under_way", "done", "called_off")
_NUMBER: BindParameter[Any] = bindparam("number")


def _events(role: ColumnElement[Any] | None = None) -> Select[Any]:
    """Columns in the order of the fields of CalendarEvent, so that a row makes one as it is."""
    elsewhere: dict[str, Any] = {
        "site_name": site.c.name.label("site_name"),
        "stamp": func.coalesce(event_revision.c.at, event.c.made_at).label("stamp"),
        "role": literal("").label("role") if role is None else role.label("role"),
    }
    names = CalendarEvent.__dataclass_fields__
    return (
        select(*(elsewhere[n] if n in elsewhere else event.c[n] for n in names))
        .join(site, site.c.id == event.c.site)
        .outerjoin(
            event_revision,
            and_(event_revision.c.event == event.c.id, event_revision.c.n == event.c.n),
        )
    )


def _between(wanted: Select[Any]) -> Select[Any]:
    first, last = bindparam("first", type_=Date), bindparam("last", type_=Date)
    return wanted.where(
        event.c.stage.in_(SHOWN), event.c.last_day >= first, event.c.day < last
    ).order_by(event.c.day, event.c.id)


def _of_person() -> Select[Any]:
    s, a = spot.c, lead_ask.c
    theirs = (s.person == _NUMBER, s.state.in_(("placed", "came")))
    agreed = (a.person == _NUMBER, a.state == "agreed")
    role_of_spot = select(s.role).where(s.event == event.c.id, *theirs).scalar_subquery()
    role_of_ask = (
        select(func.max(a.role))  # lead before data_collector
        .where(a.event == event.c.id, *agreed)
        .scalar_subquery()
    )
    mine = or_(
        event.c.id.in_(select(s.event).where(*theirs)),
        event.c.id.in_(select(a.event).where(*agreed)),
    )
    return _between(_events(func.coalesce(role_of_ask, role_of_spot)).where(mine))


_FEED = (
    select(feed, person.c.state, person.c.language, person.c.name, region.c.name.label("r"))
    .outerjoin(person, person.c.id == feed.c.person)
    .outerjoin(region, region.c.id == feed.c.region)
)
BY_NUMBER = _FEED.where(feed.c.id == _NUMBER)
BY_PERSON = _FEED.where(feed.c.kind == "person", feed.c.person == _NUMBER)
BY_REGION = _FEED.where(feed.c.kind == "region", feed.c.region == _NUMBER)
BODY = select(feed_body.c.bytes).where(
    feed_body.c.feed == _NUMBER, feed_body.c.etag == bindparam("tag")
)
ONE = _events().where(event.c.id == _NUMBER)
OF_REGION = _between(_events().where(event.c.region == _NUMBER))
OPEN = _between(_events().where(event.c.stage.in_(("open", "ready"))))
OF_PERSON = _of_person()
_KEPT = select(
    event.c.id, event.c.n, event.c.stage, event.c.last_day, event.c.time_zone,
    event_text.c.n.label("of_n"), event_text.c.bytes,
).outerjoin(
    event_text,
    and_(event_text.c.event == event.c.id, event_text.c.audience == bindparam("audience")),
)  # fmt: skip
KEPT_OF_REGION = _between(_KEPT.where(event.c.region == _NUMBER))
KEPT_OF_OPEN = _between(_KEPT.where(event.c.stage.in_(("open", "ready"))))
TEXTS = select(event_text.c.event, event_text.c.n, event_text.c.bytes).where(
    event_text.c.event.in_(bindparam("events", expanding=True)),
    event_text.c.audience == bindparam("audience"),
)
