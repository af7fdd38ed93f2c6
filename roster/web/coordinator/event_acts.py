"""What a coordinator does to an event: each act one form, one use case, then the page again."""

from __future__ import annotations

from datetime import datetime

from flask import Blueprint, redirect, request, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.people import Role
from roster.domain.reasons import Reason
from roster.services import clearance, event_changes, events, leads, spots
from roster.services.event_changes import EventChange
from roster.services.event_page import event_page
from roster.web.access import Audience, actor, allow
from roster.web.coordinator import event_view
from roster.web.forms.events import ChangeForm, OverrideForm, WhyForm
from roster.web.page import _, operation, refused_at, tell

blueprint = Blueprint("event_acts", __name__)
_FIELDS = {"local_start": "start_time", "local_end": "end_time"}


def _page(event_id: int, anchor: str | None = None) -> Response:
    return redirect(url_for("events.page", event_id=event_id, _anchor=anchor), 303)


def _again(event_id: int, form: FlaskForm) -> tuple[str, int]:
    return event_view.show(event_page(actor(), event_id), form), 422


@blueprint.post("/events/<int:event_id>/open")
@allow(Audience.STAFF, of="event")
def open_it(event_id: int) -> Response:
    """Open a draft for sign-up."""
    events.open_event(actor(), event_id, str(operation()))
    tell(_("The event is open: people may sign up."))
    return _page(event_id)


@blueprint.post("/events/<int:event_id>/ready")
@allow(Audience.STAFF, of="event")
def ready(event_id: int) -> Response:
    """Mark an open event ready."""
    events.mark_ready(actor(), event_id, str(operation()))
    tell(_("The event is ready. It is checked again at every change."))
    return _page(event_id)


@blueprint.post("/events/<int:event_id>/call-off")
@allow(Audience.STAFF, of="event")
def call_off(event_id: int) -> Response | tuple[str, int]:
    """Call an event off, with the reason that everybody is told."""
    form = WhyForm()
    if not form.validate():
        return _again(event_id, form)
    events.call_off(actor(), event_id, form.why.data or "", str(operation()))
    tell(_("The event is called off; everybody on it is told why."), "warn")
    return _page(event_id)


@blueprint.post("/events/<int:event_id>/change")
@allow(Audience.STAFF, of="event")
def change(event_id: int) -> Response | tuple[str, int]:
    """Change time, size, duty or meeting point; whoever is on the event is told."""
    found = event_page(actor(), event_id)
    form = event_view.change_form(found)
    if not form.validate():
        return event_view.show(found, form), 422
    fixes = request.form.get("fix") == "yes"
    try:
        if fixes:
            start, end = _times(form)
            event_changes.fix_day(actor(), event_id, start, end)
        else:
            event_changes.change_event(actor(), event_id, _change(form), str(operation()))
    except BadInput as error:
        refused_at(form, _FIELDS.get(error.field, error.field), error.reason)
        return event_view.show(found, form), 422
    tell(_("The day is fixed.") if fixes else _("The event is changed."))
    return _page(event_id)


def _times(form: ChangeForm) -> tuple[datetime, datetime]:
    start = datetime.combine(form.day.data, form.start_time.data)
    return start, datetime.combine(form.day.data, form.end_time.data)


def _change(form: ChangeForm) -> EventChange:
    start = datetime.combine(form.day.data, form.start_time.data)
    end = datetime.combine(form.last_day.data, form.end_time.data)
    return EventChange(
        local_start=start,
        local_end=end,
        capacity=form.capacity.data,
        minimum_crew=form.minimum_crew.data,
        vehicles=form.vehicles.data,
        meeting=form.meeting.data,
        notes=form.notes.data,
        duty_person=form.duty_person.data,
        stand_in=form.stand_in.data,
        manager_told_on=form.manager_told_on.data,
        why=form.why.data or "",
    )


@blueprint.post("/events/<int:event_id>/override")
@allow(Audience.STAFF, of="event")
def override(event_id: int) -> Response | tuple[str, int]:
    """Answer for one stop with a reason; most stops can never be answered for."""
    form = OverrideForm()
    if not form.validate():
        raise BadInput("why", "", Reason("missing_value"))
    code, why = form.code.data or "", form.why.data or ""
    events.answer_for_stop(actor(), event_id, code, why, str(operation()))
    tell(_("The reason is kept in the journal with your name."), "warn")
    return _page(event_id, "check")


@blueprint.post("/events/<int:event_id>/place")
@allow(Audience.STAFF, of="event")
def place(event_id: int) -> Response:
    """Place somebody who said yes by phone."""
    person = clearance.find_person(request.form.get("who", "").strip())
    role = request.form.get("role", Role.CREW_MEMBER)
    spots.place(actor(), event_id, person, role, str(operation()))
    tell(_("Placed. The person is told by mail."))
    return _page(event_id, "crew")


@blueprint.post("/events/<int:event_id>/spots/give")
@allow(Audience.STAFF, of="event")
def give_spot(event_id: int) -> Response:
    """Give a free spot to somebody on the waiting list who said yes by phone."""
    person, role = _asked()
    spots.place(actor(), event_id, person, role, str(operation()))
    tell(_("Placed. The person is told by mail."))
    return _page(event_id, "crew")


@blueprint.post("/events/<int:event_id>/spots/take-off")
@allow(Audience.STAFF, of="event")
def take_off(event_id: int) -> Response:
    """Take somebody off the crew; the waiting list moves up as the hours allow."""
    person, _role = _asked()
    spots.withdraw(actor(), event_id, person, "", str(operation()))
    tell(_("Taken off the crew. The person is told by mail."), "warn")
    return _page(event_id, "crew")


def _asked() -> tuple[int, str]:
    """The person and the role that a button of the page carries."""
    said = request.form.get("person", "")
    if not said.isascii() or not said.isdigit() or len(said) > 15:
        raise BadInput("person", said, Reason("bad_number", {"value": said[:40]}))
    return int(said), request.form.get("role", Role.LEAD)


@blueprint.post("/events/<int:event_id>/ask")
@allow(Audience.STAFF, of="event")
def ask(event_id: int) -> Response:
    """Ask one person to lead or to collect data; several may be asked, the first yes wins."""
    person, role = _asked()
    leads.ask(actor(), event_id, person, role, str(operation()))
    tell(_("Asked by mail. You may ask another as well: the first yes wins."))
    return _page(event_id, "leads")


@blueprint.post("/events/<int:event_id>/said-yes")
@allow(Audience.STAFF, of="event")
def said_yes(event_id: int) -> Response:
    """Record a yes that came by phone."""
    person, role = _asked()
    leads.agree_for(actor(), event_id, person, role, str(operation()))
    tell(_("The yes is recorded and the person has a spot."))
    return _page(event_id, "crew")


@blueprint.post("/events/<int:event_id>/replace")
@allow(Audience.STAFF, of="event")
def replace(event_id: int) -> Response:
    """Take the role from the one who agreed, so that another can be asked."""
    role = request.form.get("role", Role.LEAD)
    leads.replace(actor(), event_id, request.form.get("why", ""), role, str(operation()))
    tell(_("The role is free again; the person was told."), "warn")
    return _page(event_id, "leads")
