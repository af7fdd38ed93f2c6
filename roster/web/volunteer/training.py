"""My training: what stands between me and each role; reporting a step; signing a paper."""

from __future__ import annotations

from datetime import date

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.training import StepKind
from roster.services import my_training, standing, training
from roster.services.training import Detail
from roster.web.access import Audience, actor, allow
from roster.web.asking import text_in
from roster.web.forms.events import choices
from roster.web.forms.people import ContactForm, FinishedForm, SignForm
from roster.web.page import _, operation, refused_at, tell

blueprint = Blueprint("training", __name__)
WITH_OWN_END = (StepKind.FIRST_AID, StepKind.DRIVER_CHECK)


@blueprint.get("/training")
@allow(Audience.PERSON)
def mine() -> str:
    """What I am cleared for, the steps of a track, and the next one."""
    return _shown(None)


def _shown(form: FinishedForm | None) -> str:
    found = my_training.my_training(actor(), text_in("track") or None)
    step = found.next_step
    if form is None:
        form = FinishedForm(formdata=None, data={"step": step.code if step else ""})
        form.done_on.data = found.today
    version = step.version_on(found.today) if step else None
    return render_template(
        "volunteer/training.html",
        found=found,
        form=form,
        has_own_end=step is not None and step.kind in WITH_OWN_END,
        counts_at_once=version is not None and version.self_counts,
    )


@blueprint.post("/training/report")
@allow(Audience.PERSON)
def report() -> Response | tuple[str, int]:
    """Report that I finished a step."""
    form = FinishedForm()
    form.step.choices = choices([(form.step.data or "", "")])
    if not form.validate():
        return _shown(form), 422
    done_on: date = form.done_on.data
    try:
        training.record_completion(
            actor(), actor().person or 0, str(form.step.data), done_on,
            Detail(form.own_until.data, None, str(operation())),
        )  # fmt: skip
    except BadInput as error:
        refused_at(form, error.field, error.reason)
        return _shown(form), 422
    except RuleBroken as error:
        for reason in error.reasons:
            refused_at(form, "done_on", reason)
        return _shown(form), 422
    tell(_("Thank you, it is recorded. A coordinator confirms what does not count at once."))
    return redirect(url_for("training.mine"), 303)


@blueprint.route("/training/papers/<int:form_id>", methods=["GET", "POST"])
@allow(Audience.PERSON)
def paper(form_id: int) -> Response | str | tuple[str, int]:
    """Read a paper and sign it under my own name."""
    shown = my_training.paper_to_sign(actor(), form_id)
    form = SignForm()
    if request.method == "POST" and form.validate():
        try:
            my_training.sign(actor(), form_id, str(form.typed_name.data), str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The paper is signed."))
            return redirect(url_for("training.mine"), 303)
    page = render_template("volunteer/paper.html", shown=shown, form=form)
    return page, 422 if form.errors else 200


@blueprint.route("/training/emergency-contact", methods=["GET", "POST"])
@allow(Audience.PERSON)
def contact() -> Response | str | tuple[str, int]:
    """Say whom to call in an emergency."""
    form = ContactForm()
    if request.method == "POST" and form.validate():
        try:
            standing.set_emergency_contact(
                actor(), actor().person or 0, str(form.name.data), str(form.phone.data),
                form.relation.data or "",
            )  # fmt: skip
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("Recorded. Only the lead of a day reads it, in an emergency."))
            return redirect(url_for("training.mine"), 303)
    page = render_template("volunteer/contact.html", form=form)
    return page, 422 if form.errors else 200
