"""People: the list, the spreadsheet of it, a new person, the page of one and changes to it."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as Redirect

from roster.domain.errors import BadInput, Conflict
from roster.domain.people import Role
from roster.services import people, people_pages
from roster.services.people_pages import Asked, Exported, Show
from roster.services.person_page import record_choices
from roster.web.access import Audience, actor, allow
from roster.web.asking import day_in, page_number, text_in, word_in
from roster.web.coordinator import person_view
from roster.web.forms.events import choices
from roster.web.forms.people import PersonForm
from roster.web.page import _, language, operation, refused_at, tell
from roster.words import say, word

blueprint = Blueprint("people", __name__)
SORTS = ("name", "region", "until")
_RISKY = ("=", "+", "-", "@", "\t", "\r")
NOT_CHANGED = {"region", "of_age"}


@blueprint.get("/people")
@allow(Audience.STAFF)
def listing() -> str:
    """A page of people, filtered and sorted by what the address asks."""
    asked = _asked()
    found = people_pages.people_page(actor(), asked, page_number())
    return render_template(
        "coordinator/people.html",
        found=found,
        asked=asked,
        roles=[(r.value, word("role", r.value, language())) for r in Role],
        shows=[(s.value, word("show", s.value, language())) for s in Show],
        many=people_pages.MANY,
        marks=[found.day],
    )


def _asked() -> Asked:
    region = text_in("region")
    if region not in ("", people_pages.UNASSIGNED) and not region.isdigit():
        region = ""
    return Asked(
        role=Role(word_in("role", [r.value for r in Role]) or Role.LEAD),
        day=day_in("on"),
        show=Show(word_in("show", [s.value for s in Show]) or Show.EVERYONE),
        name=text_in("q"),
        region=region,
        sort=word_in("sort", SORTS) or "name",
        descending=request.args.get("dir") == "desc",
    )


@blueprint.post("/people/spreadsheet")
@allow(Audience.STAFF)
def spreadsheet() -> Response:
    """The list as CSV; that it was taken out stands in the journal."""
    asked = _asked()
    rows = people_pages.export(actor(), asked)
    answer = make_response(_csv(rows, asked))
    answer.headers["Content-Type"] = "text/csv; charset=utf-8"
    answer.headers["Content-Disposition"] = 'attachment; filename="people.csv"'
    return answer


def _csv(rows: list[Exported], asked: Asked) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    role = word("role", asked.role.value)
    told = ("number", "name", "e-mail", "phone", "postcode", "region")
    writer.writerow((*told, f"cleared as {role}", "last valid day", "why not"))
    for row in rows:
        listed, record = row.listed, row.record
        why = " ".join(say(reason).text for reason in listed.reasons)
        cells = (
            f"V{listed.id}", listed.name, record.address, record.phone, record.postcode,
            listed.region_name, "yes" if listed.cleared else "no", listed.last_day, why,
        )  # fmt: skip
        writer.writerow([_safe(cell) for cell in cells])
    return out.getvalue().encode("utf-8-sig")


def _safe(value: object) -> str:
    """A cell that no spreadsheet takes for a formula."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(_RISKY) else text


@blueprint.route("/people/new", methods=["GET", "POST"])
@allow(Audience.STAFF)
def new() -> Redirect | str | tuple[str, int]:
    """The form of a new person."""
    form = _person_form()
    if request.method == "POST" and form.validate():
        told = form.new_person()
        if form.of_age.data and told.born_on is None:
            told = replace(told, of_age_on=people.programme_today())
        try:
            number = people.add_person(actor(), told, str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        except Conflict as error:
            refused_at(form, "address", error.reason)
        else:
            tell(_("%(name)s is added.", name=told.name))
            return redirect(url_for("people.page", person_id=number), 303)
    shown = render_template("coordinator/person_form.html", form=form, person=None)
    return shown, 422 if form.errors else 200


def _person_form(**given: Any) -> PersonForm:
    form = PersonForm(data=given or {"language": "en"})
    form.language.choices = choices([("en", "English"), ("es", "Español")])
    regions = people_pages.region_choices(actor())
    form.region.choices = choices([("", _("by the home place")), *regions])
    return form


@blueprint.get("/people/<int:person_id>")
@allow(Audience.STAFF, of="person")
def page(person_id: int) -> str:
    """The page of a person: cleared for what, training, papers, journal."""
    role = word_in("role", [r.value for r in Role])
    return person_view.show(person_id, Role(role) if role else None, day_in("on"))


@blueprint.route("/people/<int:person_id>/change", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def change(person_id: int) -> Redirect | str | tuple[str, int]:
    """Change what is told of a person."""
    found = record_choices(actor(), person_id)
    row = found.person
    form = _person_form(
        name=row.name, phone=row.phone, born_on=row.born_on, language=row.language,
        postcode=row.postcode, lat=row.lat, lon=row.lon, household=row.household,
        region=row.region, address=found.address, of_age=row.of_age_on is not None,
    )  # fmt: skip
    if request.method == "POST" and form.validate():
        try:
            _change(person_id, form, found.address)
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        except Conflict as error:
            refused_at(form, "address", error.reason)
        else:
            tell(_("The change is saved."))
            return redirect(url_for("people.page", person_id=person_id), 303)
    shown = render_template("coordinator/person_form.html", form=form, person=row)
    return shown, 422 if form.errors else 200


def _change(person_id: int, form: PersonForm, address: str | None) -> None:
    told = form.new_person()
    names = ("name", "phone", "born_on", "language", "postcode", "lat", "lon", "household")
    changes = {name: getattr(told, name) for name in names}
    if told.address and told.address != address:
        changes["address"] = told.address
    if told.born_on is None and form.of_age.data:
        changes["of_age_on"] = people.programme_today()
    people.change_person(actor(), person_id, changes, str(operation()))
    if told.region is not None:
        people.hand_over(actor(), person_id, told.region)
