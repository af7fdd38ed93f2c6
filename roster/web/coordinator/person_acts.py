"""What a coordinator records of a person: steps, papers, guardians, roles withheld."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.paper_forms import PaperKind, SecondWay, SignedBy
from roster.domain.people import Role
from roster.domain.person_facts import WithheldKind
from roster.domain.training import day_after
from roster.services import papers, standing, training
from roster.services.papers import NewSignature
from roster.services.person_page import RecordChoices, record_choices
from roster.services.standing import Withholding
from roster.services.training import Detail
from roster.web.access import Audience, actor, allow
from roster.web.asking import text_in
from roster.web.forms.events import choices
from roster.web.forms.people import (
    FinishedForm,
    GuardianForm,
    SecondSignForm,
    SignatureForm,
    WhyForm,
    WithholdForm,
)
from roster.web.page import _, language, operation, refused_at, tell
from roster.words import word

blueprint = Blueprint("person_acts", __name__)
Answer = Response | str | tuple[str, int]


def _page(person_id: int, anchor: str | None = None) -> Response:
    return redirect(url_for("people.page", person_id=person_id, _anchor=anchor), 303)


def _shown(template: str, form: FlaskForm, found: RecordChoices) -> tuple[str, int]:
    page = render_template(template, form=form, found=found, person=found.person)
    return page, 422 if form.errors else 200


@blueprint.route("/people/<int:person_id>/record", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def record(person_id: int) -> Answer:
    """Record a finished step."""
    found = record_choices(actor(), person_id)
    form = FinishedForm(data={"step": text_in("step"), "done_on": found.today})
    form.step.choices = choices((s.code, s.name) for s in found.steps)
    if request.method == "POST" and form.validate():
        detail = Detail(form.own_until.data, form.score.data, str(operation()))
        try:
            training.record_completion(
                actor(), person_id, str(form.step.data), form.done_on.data, detail
            )
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        except RuleBroken as error:
            for reason in error.reasons:
                refused_at(form, "step", reason)
        else:
            tell(_("The finished step is recorded; the clearance was worked out anew."))
            return _page(person_id, "training")
    return _shown("coordinator/record.html", form, found)


@blueprint.post("/people/<int:person_id>/finished/<int:number>/confirm")
@allow(Audience.STAFF, of="person")
def confirm(person_id: int, number: int) -> Response:
    """Confirm what the person reported."""
    training.confirm_completion(actor(), number, str(operation()))
    tell(_("Confirmed."))
    return _page(person_id, "training")


@blueprint.post("/people/<int:person_id>/finished/<int:number>/void")
@allow(Audience.STAFF, of="person")
def void(person_id: int, number: int) -> Response:
    """Void a finished step, with a reason."""
    form = WhyForm()
    training.void_completion(actor(), number, form.why.data or "", str(operation()))
    tell(_("The finished step is void; the record stays."), "warn")
    return _page(person_id, "training")


@blueprint.route("/people/<int:person_id>/sign", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def sign(person_id: int) -> Answer:
    """Record a paper that was signed."""
    found = record_choices(actor(), person_id)
    form = SignatureForm(data={"signed_on": found.today, "way": SignedBy.PAPER.value})
    form.form.choices = choices(
        (f.id, _("%(paper)s, version %(n)s", paper=f.title, n=f.version)) for f in found.forms
    )
    form.way.choices = choices((w.value, word("sign_way", w.value, language())) for w in SignedBy)
    signers = [("", _("the person"))]
    form.guardian.choices = choices([*signers, *((g.id, g.name) for g in found.guardians)])
    if request.method == "POST" and form.validate():
        try:
            papers.record_signature(actor(), person_id, _signature(form, found), str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The signature is recorded."))
            return _page(person_id, "papers")
    return _shown("coordinator/sign.html", form, found)


def _signature(form: SignatureForm, found: RecordChoices) -> NewSignature:
    number = form.form.data or 0
    kind = next((f.kind for f in found.forms if f.id == number), None)
    return NewSignature(
        form=number,
        signed_on=form.signed_on.data,
        way=SignedBy(form.way.data or SignedBy.PAPER),
        guardian=form.guardian.data,
        scope=form.scope() if kind is PaperKind.GUARDIAN_CONSENT else None,
        note=form.note.data or "",
    )


@blueprint.post("/people/<int:person_id>/signatures/<int:number>/second")
@allow(Audience.STAFF, of="person")
def second(person_id: int, number: int) -> Response:
    """Record a guardian's second sign."""
    form = SecondSignForm()
    way = form.way.data if form.way.data in set(SecondWay) else SecondWay.CALL
    on = form.on.data or record_choices(actor(), person_id).today
    papers.record_second_sign(actor(), number, SecondWay(way), on, str(operation()))
    tell(_("The second sign is recorded; the consent counts from that day."))
    return _page(person_id, "papers")


@blueprint.post("/people/<int:person_id>/signatures/<int:number>/withdraw")
@allow(Audience.STAFF, of="person")
def withdraw(person_id: int, number: int) -> Response:
    """Let a signature hold no longer from today on."""
    form = WhyForm()
    today = record_choices(actor(), person_id).today
    papers.withdraw_signature(actor(), number, today, form.why.data or "", str(operation()))
    tell(_("The signature is withdrawn from today on."), "warn")
    return _page(person_id, "papers")


@blueprint.route("/people/<int:person_id>/guardian", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def guardian(person_id: int) -> Answer:
    """Record a guardian of a minor."""
    found = record_choices(actor(), person_id)
    form = GuardianForm()
    if request.method == "POST" and form.validate():
        try:
            standing.add_guardian(
                actor(), person_id, str(form.name.data), str(form.address.data),
                form.phone.data or "",
            )  # fmt: skip
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The guardian is recorded. Send the consent to read and sign."))
            return _page(person_id, "papers")
    return _shown("coordinator/guardian.html", form, found)


@blueprint.route("/people/<int:person_id>/withhold", methods=["GET", "POST"])
@allow(Audience.STAFF, of="person")
def withhold(person_id: int) -> Answer:
    """Suspend a person from a role, or revoke it, from a day."""
    found = record_choices(actor(), person_id)
    form = WithholdForm(data={"from_on": found.today, "kind": WithheldKind.SUSPENDED.value})
    named = [(r.value, word("role", r.value, language())) for r in Role]
    form.role.choices = choices([("", _("every role")), *named])
    form.kind.choices = choices(
        (k.value, word("withheld", k.value, language())) for k in WithheldKind
    )
    if request.method == "POST" and form.validate():
        last = form.last_day.data
        try:
            what = Withholding(
                Role(form.role.data) if form.role.data in set(Role) else None,
                WithheldKind(form.kind.data), form.from_on.data,
                None if last is None else day_after(last),
            )  # fmt: skip
            standing.withhold(actor(), person_id, what, str(operation()))
        except BadInput as error:
            refused_at(form, {"until_on": "last_day"}.get(error.field, error.field), error.reason)
        else:
            tell(_("Recorded. Events to come were checked again."), "warn")
            return _page(person_id)
    return _shown("coordinator/withhold.html", form, found)


@blueprint.post("/people/<int:person_id>/withheld/<int:number>/give-back")
@allow(Audience.STAFF, of="person")
def give_back(person_id: int, number: int) -> Response:
    """End a withheld role from today on."""
    form = WhyForm()
    standing.give_back(actor(), person_id, number, form.why.data or "", str(operation()))
    tell(_("The role is given back from today on."))
    return _page(person_id)
