"""Events: the list, and the form of a new one."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.calendar_grid import Span, by_day, grid
from roster.domain.errors import BadInput
from roster.domain.events import DateState, EventKind, Stage
from roster.services import event_lists, frame
from roster.services.event_lists import EventChoices, EventFilter, EventSort
from roster.services.event_page import event_page
from roster.services.events import create_event
from roster.web.access import Audience, actor, allow
from roster.web.asking import day_in, number_in, page_number, text_in, word_in
from roster.web.coordinator import event_view
from roster.web.forms.events import EventForm, choices
from roster.web.page import _, language, operation, refused_at, tell
from roster.words import word

blueprint = Blueprint("events", __name__)
NOT_OVER = tuple(s.value for s in Stage if not s.is_over)
SHOWN = ("not_over", *(s.value for s in Stage), "all")
"""What the filter of stages offers; without a word the list shows those that are not over."""


@blueprint.get("/events")
@allow(Audience.STAFF)
def listing() -> str:
    """Events as a list, a month or a week, filtered and sorted by what the address asks."""
    shown = word_in("stage", SHOWN) or "not_over"
    region = number_in("region")
    wanted = EventFilter(
        regions=None if region is None else [region],
        stages={"all": None, "not_over": NOT_OVER}.get(shown, (shown,)),
        kind=word_in("kind", [k.value for k in EventKind]),
        first=day_in("from"),
        last=day_in("until"),
        search=text_in("q"),
        sort=EventSort(word_in("sort", [s.value for s in EventSort]) or EventSort.DAY),
        backwards=request.args.get("dir") == "desc",
    )
    view = word_in("view", ("list", *Span)) or "list"
    around = {
        "wanted": wanted,
        "shown": shown,
        "region": region,
        "view": view,
        "stages": [("not_over", _("not over")), *_terms("stage", Stage), ("all", _("all"))],
        "kinds": [("", _("all")), *_terms("event_kind", EventKind)],
    }
    return _list(wanted, around) if view == "list" else _calendar(Span(view), wanted, around)


def _list(wanted: EventFilter, around: dict[str, Any]) -> str:
    found = event_lists.events_page(actor(), wanted, page_number())
    marks = [row.day for row in found.rows]
    return render_template("coordinator/events.html", found=found, marks=marks, **around)


def _calendar(span: Span, wanted: EventFilter, around: dict[str, Any]) -> str:
    """The month or week of the day asked for; expected windows stand below it."""
    on = day_in("on") or frame.now().today
    days = grid(span, on)
    found = event_lists.events_between(actor(), wanted, *days.shown)
    fixed = [row for row in found.rows if row.date_state != DateState.EXPECTED]
    return render_template(
        "coordinator/events_grid.html",
        found=found,
        grid=days,
        by_day=by_day(days, fixed),
        expected=[row for row in found.rows if row.date_state == DateState.EXPECTED],
        marks=[row.day for row in fixed],
        on=on,
        **around,
    )


@blueprint.route("/events/new", methods=["GET", "POST"])
@allow(Audience.STAFF)
def new() -> Response | str | tuple[str, int]:
    """The form of a new event at a site; without a site, the choice of one."""
    site = number_in("site")
    if site is None:
        sites = event_lists.site_choices(actor())
        return render_template("coordinator/event_site.html", sites=sites)
    offered = event_lists.event_choices(actor(), site)
    form = _form(offered)
    if request.method == "GET":
        return _new_page(form, offered)
    if not form.validate():
        return _new_page(form, offered), 422
    try:
        number = create_event(actor(), form.new_event(site), str(operation()))
    except BadInput as error:
        refused_at(form, _FIELDS.get(error.field, error.field), error.reason)
        return _new_page(form, offered), 422
    tell(_("Event %(n)s is a draft. Open it when people may sign up.", n=number))
    return redirect(url_for("events.page", event_id=number), 303)


_FIELDS = {"local_start": "start_time", "local_end": "end_time"}


def _form(offered: EventChoices) -> EventForm:
    first = number_in("population")
    given: dict[str, Any] = {
        "kind": EventKind.COLLECTING.value,
        "date_state": DateState.FIXED.value,
        "populations": [first] if first else [],
        "day": day_in("day"),
        "meeting": offered.site.meeting,
        "capacity": 8,
    }
    form = EventForm(data=given)
    form.kind.choices = choices(_terms("event_kind", EventKind))
    form.date_state.choices = choices(
        [(DateState.FIXED.value, _("one fixed day")), (DateState.EXPECTED.value, _("a window"))]
    )
    form.populations.choices = choices((p.id, p.title) for p in offered.populations)
    nobody = [("", _("not yet"))]
    form.duty_person.choices = form.stand_in.choices = choices([*nobody, *offered.duty])
    return form


def _new_page(form: EventForm, offered: EventChoices) -> str:
    return render_template("coordinator/event_new.html", form=form, offered=offered)


def _terms(group: str, codes: Any) -> list[tuple[str, str]]:
    return [(code.value, word(group, code.value, language())) for code in codes]


@blueprint.get("/events/<int:event_id>")
@allow(Audience.STAFF, of="event")
def page(event_id: int) -> str:
    """One event: crew check, facts, chance ready, leads, crew, journal, and what can be done."""
    return event_view.show(event_page(actor(), event_id), None)
