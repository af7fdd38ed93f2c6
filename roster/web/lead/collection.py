"""The collection record on the lead's phone: count, most to take, taken."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response

from roster.domain.collecting import Bagging, TakenUnit
from roster.domain.errors import BadInput, NotFound
from roster.domain.events import NothingTaken
from roster.domain.harvest import Most
from roster.services import collecting, fieldsheet
from roster.services.collecting import ToRecord
from roster.web.access import Audience, actor, allow
from roster.web.asking import number_in
from roster.web.forms.collecting import StandForm, TakenForm
from roster.web.forms.events import choices
from roster.web.page import _, language, operation, refused_at, tell
from roster.words import word

blueprint = Blueprint("collection", __name__)


@blueprint.get("/field/<int:event_id>/collection")
@allow(Audience.STAFF, Audience.LEAD, Audience.DUTY, of="event")
def page(event_id: int) -> str:
    """The records of an event's populations; one of them with its forms."""
    return _page(event_id, number_in("population"), None)


@blueprint.post("/field/<int:event_id>/collection/count")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def count(event_id: int) -> Response | tuple[str, int]:
    """Record what was counted; the most to take is worked out by it."""
    form = StandForm()
    if form.validate():
        try:
            number = collecting.count_stand(
                actor(), event_id, _population(form), form.stand(), str(operation())
            )
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("Collection %(n)s: counted, and the most to take worked out.", n=number))
            return _back(event_id, form)
    return _page(event_id, _population(form), form), 422


@blueprint.post("/field/<int:event_id>/collection/taken")
@allow(Audience.STAFF, Audience.LEAD, of="event")
def taken(event_id: int) -> Response | tuple[str, int]:
    """Record what was taken, or why nothing was."""
    form = _taken_form(None)
    if form.validate():
        try:
            number = collecting.record_taken(
                actor(), event_id, _population(form), form.taken(), str(operation())
            )
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("Collection %(n)s is recorded.", n=number))
            return _back(event_id, form)
    return _page(event_id, _population(form), form), 422


def _population(form: StandForm | TakenForm) -> int:
    said = str(form.population.data or "")
    if not said.isascii() or not said.isdigit() or len(said) > 15:
        raise NotFound("population", said[:40])
    return int(said)


def _back(event_id: int, form: StandForm | TakenForm) -> Response:
    address = url_for("collection.page", event_id=event_id, population=_population(form))
    return redirect(address, 303)


def _page(event_id: int, population: int | None, wrong: FlaskForm | None) -> str:
    found = collecting.page(actor(), event_id)
    sheet = fieldsheet.sheet(actor(), event_id)
    one = _shown(found, population)
    stand = taken = None
    if one is not None:
        stand = wrong if isinstance(wrong, StandForm) else _stand_form(one)
        taken = wrong if isinstance(wrong, TakenForm) else _taken_form(one)
    return render_template(
        "lead/collection.html",
        found=found,
        one=one,
        most=one.limit if one and isinstance(one.limit, Most) else None,
        sheet=sheet,
        stand=stand,
        taken=taken,
        may_write=sheet.event.stage == "under_way"
        or (sheet.event.stage == "done" and actor().is_staff),
        errors=bool(wrong),
    )


def _shown(found: tuple[ToRecord, ...], population: int | None) -> ToRecord | None:
    """The population asked for, else the first without an end of its record, else the first."""
    if population is not None:
        return next((one for one in found if one.population.id == population), None)
    unfinished = (one for one in found if one.record is None or one.record.taken is None)
    return next(unfinished, found[0] if found else None)


def _stand_form(one: ToRecord) -> StandForm:
    given: dict[str, Any] = {"population": one.population.id}
    row = one.record
    if row is not None:
        given |= {
            "plants_at_dispersal": row.plants_at_dispersal,
            "fruits_per_plant": row.fruits,
            "seeds_per_fruit": row.seeds,
            "looked_at": row.looked_at,
            "good": row.good,
            "seeds_per_gram": row.seeds_per_gram,
            "crop": row.crop,
        }
    return StandForm(formdata=None, data=given)


def _taken_form(one: ToRecord | None) -> TakenForm:
    """The form as it was sent (one is None), or filled from the record."""
    if one is None:
        form = TakenForm()
    else:
        row = one.record
        given = {
            "population": one.population.id,
            "amount": row.taken if row else None,
            "unit": (row and row.taken_unit) or TakenUnit.FRUITS.value,
            "bagging": row.bagging if row else Bagging.BULK.value,
            "mothers": row.mothers if row else None,
            "voucher": (row and row.voucher) or "",
            "nothing": (row and row.nothing_taken) or "",
        }
        form = TakenForm(formdata=None, data=given)
    form.unit.choices = choices((u.value, _term("taken_unit", u)) for u in TakenUnit)
    form.bagging.choices = choices((b.value, _term("bagging", b)) for b in Bagging)
    whys = [(w.value, _term("nothing_taken", w)) for w in NothingTaken]
    form.nothing.choices = choices([("", _("something was taken")), *whys])
    return form


def _term(group: str, code: str) -> str:
    return word(group, code, language())
