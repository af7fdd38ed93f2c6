"""Import: send a spreadsheet, see row by row what it would do, take it in, take it back."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.import_columns import FIELDS, ImportKind
from roster.domain.reasons import Reason
from roster.services import exchange
from roster.services.import_rows import Outcome, RowLook
from roster.web.access import Audience, actor, allow
from roster.web.forms.events import choices
from roster.web.forms.people import UploadForm
from roster.web.page import _, language, operation, refused_at, tell, tell_with_undo
from roster.words import word

blueprint = Blueprint("exchange", __name__)
SHOWN = 200


def _form() -> UploadForm:
    form = UploadForm(data={"kind": ImportKind.PEOPLE.value})
    form.kind.choices = choices((k.value, word("import", k.value, language())) for k in ImportKind)
    return form


def _upload_page(form: UploadForm) -> str:
    columns = [
        (word("import", kind.value, language()), [names[0] for names in FIELDS[kind].values()])
        for kind in ImportKind
    ]
    return render_template(
        "coordinator/import.html", form=form, columns=columns, batches=exchange.batches(actor())
    )


@blueprint.get("/import")
@allow(Audience.COORDINATOR)
def upload() -> str:
    """The form to send a spreadsheet, and the latest imports."""
    return _upload_page(_form())


@blueprint.post("/import")
@allow(Audience.COORDINATOR)
def look_over() -> str | tuple[str, int]:
    """What the spreadsheet would do, row by row; nothing is changed."""
    form = _form()
    if not form.validate():
        return _upload_page(form), 422
    content, name = form.file.data.read(), (form.file.data.filename or "")[:200]
    try:
        found = exchange.look_over(actor(), ImportKind(form.kind.data), name, content)
    except BadInput as error:
        refused_at(form, "file", error.reason)
        return _upload_page(form), 422
    kept = exchange.keep_trial(content) if found.can_be_taken_in else ""
    return render_template(
        "coordinator/import_trial.html",
        found=found,
        kept=kept,
        groups=[(o.value, _of(found, o)) for o in _ORDER],
        shown=SHOWN,
    )


_ORDER = (Outcome.REFUSED, Outcome.CHANGED, Outcome.NEW, Outcome.UNCHANGED)


def _of(found: exchange.DryRun, outcome: Outcome) -> list[RowLook]:
    return [look for look in found.looks if look.outcome is outcome]


@blueprint.post("/import/take")
@allow(Audience.COORDINATOR)
def take_in() -> Response:
    """Take in the spreadsheet of a trial, every row or none."""
    told = request.form.get("kind", "")
    if told not in set(ImportKind):
        raise BadInput("kind", told, Reason("bad_choice", {"value": told[:40]}))
    kept, name = request.form.get("kept", ""), request.form.get("name", "")[:200]
    content = exchange.kept_trial(kept)
    batch = exchange.take_in(actor(), ImportKind(told), name, content, str(operation()))
    exchange.forget_trial(kept)
    message = _("Import %(n)s is taken in.", n=batch)
    if told == ImportKind.POSTCODES:
        tell(message)
    else:
        tell_with_undo(message, url_for("exchange.undo", batch=batch))
    there = "people.listing" if told == ImportKind.PEOPLE else "exchange.upload"
    return redirect(url_for(there), 303)


@blueprint.post("/import/<int:batch>/undo")
@allow(Audience.COORDINATOR)
def undo(batch: int) -> Response:
    """Take an import back whole."""
    rows = exchange.undo(actor(), batch, str(operation()))
    tell(_("Import %(n)s is taken back: %(rows)s rows.", n=batch, rows=rows), "warn")
    return redirect(url_for("exchange.upload"), 303)
