"""To decide: the first screen of a coordinator."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from flask import Blueprint, render_template, url_for

from roster.domain.decide import SOON, Decision, Group, NextStep
from roster.domain.reasons import Level
from roster.services import decide
from roster.services.decide import ToDecide
from roster.web.access import Audience, actor, allow

blueprint = Blueprint("decide", __name__)

_ANCHORS = {
    NextStep.ASK_LEAD: "leads",
    NextStep.INVITE_CREW: "crew",
    NextStep.SETTLE_LAND: "check",
    NextStep.SHOW_CHECK: "check",
    NextStep.MARK_READY: "check",
    NextStep.OPEN_EVENT: "check",
    NextStep.CALL_OFF: "call-off",
    NextStep.NAME_DUTY: "change",
}
_IN_THE_FIELD = {
    NextStep.SHOW_HEAD_COUNT: "headcount.page",
    NextStep.ASK_AFTER_CREW: "headcount.page",
    NextStep.CLOSE_EVENT: "headcount.page",
}


@blueprint.get("/decide")
@allow(Audience.STAFF)
def first() -> str:
    """What stands to decide: people out now, the next 72 hours, later."""
    found = decide.to_decide(actor())
    return render_template(
        "coordinator/decide.html",
        found=found,
        groups=[(group, _rows(found, group)) for group in Group],
        soon_until=found.now + SOON,
        marks=found.days,
        needed=sum(1 for row in found.rows if row.level is not Level.CLEAR),
    )


def _rows(found: ToDecide, group: Group) -> list[dict[str, Any]]:
    return [_item(row, found) for row in found.rows if row.group is group]


def _item(row: Decision, found: ToDecide) -> dict[str, Any]:
    zone = str(row.headline.facts.get("time_zone") or found.time_zone)
    return {
        "row": row,
        "href": _address(row),
        "zone": zone,
        "day": row.due_at.astimezone(ZoneInfo(zone)).date(),
        "in_days": _in_days(row, found.now),
        "filled": _filled(row),
    }


def _filled(row: Decision) -> bool:
    """The filled button stands beside each row that says stop, and beside no other."""
    return row.level is Level.STOP


def _in_days(row: Decision, now: datetime) -> int:
    return (row.due_at.astimezone(UTC) - now) // timedelta(days=1)


def _address(row: Decision) -> str:
    """Where the one next step is taken: a page leads there, only its button changes anything."""
    if row.step is NextStep.HAND_OVER:
        return url_for("people.listing", region="none")
    if row.event is None:
        facts = row.headline.facts
        day = facts["day"]
        return url_for(
            "events.new", site=facts["site"], population=facts["population"], day=str(day)
        )
    if row.step in _IN_THE_FIELD:
        return url_for(_IN_THE_FIELD[row.step], event_id=row.event)
    if row.step is NextStep.FIX_DAY:
        return url_for("board.page", event_id=row.event)
    anchor = _ANCHORS.get(row.step)
    opened = "change" if anchor == "change" else None
    return url_for("events.page", event_id=row.event, _anchor=anchor, open=opened)
