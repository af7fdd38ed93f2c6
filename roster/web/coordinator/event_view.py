"""How the page of one event is filled: its form of changes, its label, its words."""

from __future__ import annotations

from typing import Any

from flask import render_template
from flask_wtf import FlaskForm

from roster.domain.matching import Candidate
from roster.domain.people import Role
from roster.services.event_page import EventPage, Readiness
from roster.web.forms.events import ChangeForm, WhyForm, choices
from roster.web.page import _, language
from roster.words import formats
from roster.words.terms import TERMS, word


def show(found: EventPage, wrong: FlaskForm | None) -> str:
    """The page; `wrong` is a form that was refused, shown with its errors in place of a new one."""
    change = wrong if isinstance(wrong, ChangeForm) else change_form(found)
    why = wrong if isinstance(wrong, WhyForm) else WhyForm(formdata=None)
    return render_template(
        "coordinator/event.html",
        found=found,
        row=found.event,
        change=change,
        why=why,
        marks=[found.event.day],
        acts=[(act.at, found.event.time_zone, _act(act)) for act in found.acts],
        best=found.readiness[0] if found.readiness else None,
        label=_label(found),
        next_lead=_next_lead(found),
    )


def _next_lead(found: EventPage) -> Candidate | None:
    """The first of the ranking while nobody was asked to lead: the one next step."""
    if any(a.role == Role.LEAD and a.state == "asked" for a in found.asks):
        return None
    matches = next((one.matches for one in found.lists if one.role == Role.LEAD), ())
    return matches[0].candidate if matches else None


def change_form(found: EventPage) -> ChangeForm:
    """The form of changes as the event is now; a sent form keeps what was typed."""
    row = found.event
    form = ChangeForm(
        data={
            "day": row.day,
            "last_day": row.last_day,
            "start_time": row.local_start.time(),
            "end_time": row.local_end.time(),
            "capacity": row.capacity,
            "minimum_crew": row.minimum_crew,
            "vehicles": row.vehicles,
            "duty_person": row.duty_person,
            "stand_in": row.stand_in,
            "manager_told_on": row.manager_told_on,
            "meeting": row.meeting,
            "notes": row.notes,
        }
    )
    known = dict(found.duty)
    for number, name in ((row.duty_person, row.duty_name), (row.stand_in, row.stand_in_name)):
        if number is not None:
            known.setdefault(number, name or "")
    offered = choices([("", _("not yet")), *known.items()])
    form.duty_person.choices = form.stand_in.choices = offered
    return form


def _act(act: Any) -> str:
    verb = word("act", act.verb, language()) if act.verb in TERMS["act"] else None
    said = verb or act.verb.replace("_", " ")
    return f"{act.who}: {said}" + (f" ({act.about})" if act.about else "")


def _label(found: EventPage) -> list[tuple[str, str]]:
    row, site = found.event, found.site
    lines = [
        (_("Meet"), f"{row.meeting}\n{_time(row.starts_at, row.time_zone)}"),
        (_("Zone"), "; ".join(dict.fromkeys(_zone(r) for r in found.readiness))),
        (_("Permission"), _permission(found)),
        (_("Crew"), _("%(n)s wanted, %(least)s at least", n=row.capacity, least=found.minimum)),
        (_("Coverage"), _coverage(site.minutes_to_signal)),
        (_("Duty person"), _duty(row.duty_name, row.duty_phone)),
        (_("Stand-in"), _duty(row.stand_in_name, row.stand_in_phone)),
        (_("Expected back"), _back(found)),
        (_("Hospital"), _hospital(found)),
    ]
    return [(name, value) for name, value in lines if value]


def _time(at: Any, zone: str) -> str:
    return formats.time(at, zone, language())


def _zone(readiness: Readiness) -> str:
    row = readiness.row
    more = f", {row.ecoregion_name} ({row.ecoregion_number})" if row.ecoregion_name else ""
    return row.zone_label + more


def _permission(found: EventPage) -> str:
    one = found.permission
    if one is None:
        return ""
    return f"{one.manager}, {formats.days(one.from_on, one.last_day, language())}"


def _coverage(minutes: int) -> str:
    if minutes == 0:
        return _("at the site")
    return _("%(n)s minutes from the site", n=minutes)


def _duty(name: str | None, phone: str | None) -> str:
    if name is None:
        return _("not named yet")
    return ", ".join(part for part in (name, phone or "", _("not in the field")) if part)


def _back(found: EventPage) -> str:
    zone = found.event.time_zone
    back, clock = _time(found.back_at, zone), _time(found.clock_at, zone)
    return _("%(back)s; the clock runs from %(clock)s", back=back, clock=clock)


def _hospital(found: EventPage) -> str:
    site = found.site
    if not site.hospital:
        return ""
    if site.hospital_minutes is None:
        return site.hospital
    return _("%(name)s, %(n)s minutes by car", name=site.hospital, n=site.hospital_minutes)
