"""Use cases of papers: a form put in force, signatures, a guardian's second sign, withdrawal."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date, timedelta

from roster.domain.dates import last_valid_day, parse_duration
from roster.domain.errors import BadInput, NotAllowed, RuleBroken
from roster.domain.paper_forms import ConsentScope, PaperForm, PaperKind, SecondWay, SignedBy
from roster.domain.papers import GUARDIANS, is_minor
from roster.domain.people import Actor, ActorKind
from roster.domain.person_entry import LANGUAGES, NAME_MOST, TEXT_MOST, plain_text
from roster.domain.reasons import Fact, Reason
from roster.services.access import require, require_coordinator
from roster.services.checks import text as checked_text
from roster.services.people import Operation, after_facts, today_in
from roster.store.people import PersonRow
from roster.store.registry import Store
from roster.store.transaction import write

FORM_MOST = 60_000
LATEST_MAJORITY = 21
"""A guardian may sign up to this age; whether it counts is judged by the site's state."""


@dataclass(frozen=True)
class NewForm:
    """A version of a form. `validity` an ISO 8601 duration, None without end; `agency` whose."""

    code: str
    kind: PaperKind
    title: str
    text: str
    validity: str | None = None
    agency: str | None = None
    language: str = "en"
    version: int = 1
    from_on: date | None = None


@dataclass(frozen=True)
class NewSignature:
    """A signature: the form shown, the day, how; `guardian` where a guardian signs for a minor."""

    form: int
    signed_on: date
    way: SignedBy = SignedBy.TYPED
    guardian: int | None = None
    scope: ConsentScope | None = None
    typed_name: str = ""
    note: str = ""


def put_form_in_force(actor: Actor, new: NewForm, operation: Operation = None) -> int:
    """A new version of a form in a language, in force from today or a day; gives its number."""
    code = plain_text("code", new.code, 40)
    title = plain_text("title", new.title, NAME_MOST)
    text = checked_text("text", new.text, most=FORM_MOST)
    if new.validity is not None:
        parse_duration(new.validity)
    if new.language not in LANGUAGES:
        raise BadInput("language", new.language, Reason("bad_choice", {"value": new.language}))

    def body(store: Store) -> int:
        require_coordinator(store)
        _check_version(store, code, title, new)
        number = store.papers.add_form(
            code=code, kind=PaperKind(new.kind).value, agency=new.agency, version=new.version,
            language=new.language, title=title, text=text,
            sha256=hashlib.sha256(text.encode()).hexdigest(),
            from_on=new.from_on or today_in(store), validity=new.validity,
        )  # fmt: skip
        told = {"code": code, "version": new.version, "language": new.language}
        store.unit.note("put_in_force", "paper", number, after=told)
        return number

    return write(body, actor=actor, operation=operation)


def record_signature(
    actor: Actor, person: int, new: NewSignature, operation: Operation = None
) -> int:
    """A paper signed by a person or, for a minor, by a guardian; gives the number of the record.

    By who coordinates the home region, by the person for an own paper, or by a guardian through
    a link sent for this person. A guardian's consent counts only after a second sign.
    """

    def body(store: Store) -> int:
        row = store.people.get(person)
        _may_sign(store, person, new)
        form = store.papers.form(new.form)
        _check_signature(store, row, form, new)
        until = None
        if form.validity is not None:
            until = last_valid_day(new.signed_on, form.validity) + timedelta(days=1)
        number = store.papers.add_signature(
            new.scope, person=person, paper_form=form.id, signed_on=new.signed_on,
            until_on=until, way=SignedBy(new.way).value, guardian=new.guardian,
        )  # fmt: skip
        if new.typed_name.strip() or new.note.strip():
            store.papers.add_private(
                number, new.typed_name.strip()[:NAME_MOST], new.note.strip()[:TEXT_MOST] or None
            )
        told = {"paper": form.title, "version": form.version, "signed_on": new.signed_on}
        store.unit.note("signed", "person", person, region=row.region, after=told)
        after_facts(store, row.root)
        return number

    return write(body, actor=actor, operation=operation)


def record_second_sign(
    actor: Actor, signature: int, way: SecondWay, on: date, operation: Operation = None
) -> int:
    """The second sign to a guardian's consent, from which on it counts; gives the person."""

    def body(store: Store) -> int:
        row = store.papers.signature(signature)
        require(store, "person", row.person, "staff")
        if row.ended_at is not None:
            raise RuleBroken([Reason("already_ended")])
        if row.kind != PaperKind.GUARDIAN_CONSENT:
            raise BadInput("signature", signature, Reason("second_sign_not_asked"))
        _check_past(store, row.title, on)
        too_soon = on <= row.signed_on if way is SecondWay.LATER_MAIL else on < row.signed_on
        if too_soon:
            raise BadInput("on", on, Reason("second_sign_too_soon", {"signed_on": row.signed_on}))
        store.papers.add_second_sign(signature, SecondWay(way).value, on)
        person = store.people.get(row.person)
        store.unit.note(
            "second_signed", "person", row.person, region=person.region,
            after={"paper": row.title, "way": way.value, "on": on},
        )  # fmt: skip
        after_facts(store, person.root)
        return row.person

    return write(body, actor=actor, operation=operation)


def withdraw_signature(
    actor: Actor, signature: int, from_on: date, why: str, operation: Operation = None
) -> int:
    """Let a signature hold no longer from a day on; what it held before stays. Gives the person."""
    reason = plain_text("why", why, TEXT_MOST)

    def body(store: Store) -> int:
        row = store.papers.signature(signature)
        require(store, "person", row.person, "staff")
        scope = store.papers.scope(signature)
        if not store.papers.end_signature(signature, reason):
            raise RuleBroken([Reason("already_ended")])
        if from_on > row.signed_on:
            until = from_on if row.until_on is None else min(from_on, row.until_on)
            number = store.papers.add_again(
                person=row.person, paper_form=row.paper_form, signed_on=row.signed_on,
                until_on=until, way=row.way, guardian=row.guardian, scope=scope,
            )  # fmt: skip
            for way, on in store.papers.second_signs(signature):
                store.papers.add_second_sign(number, way, on)
        person = store.people.get(row.person)
        told = {"paper": row.title, "from_on": from_on, "why": reason}
        store.unit.note("withdrew", "person", row.person, region=person.region, after=told)
        after_facts(store, person.root)
        return row.person

    return write(body, actor=actor, operation=operation)


def _check_version(store: Store, code: str, title: str, new: NewForm) -> None:
    mine = [f for f in store.papers.forms() if f.code == code]
    if any(f.kind is not new.kind for f in mine):
        raise BadInput("kind", new.kind.value, Reason("form_changes_kind", {"code": code}))
    older = [f.version for f in mine if f.language == new.language]
    if new.version < 1 or new.version <= max(older, default=0):
        facts: dict[str, Fact] = {"version": new.version, "paper": title}
        raise BadInput("version", new.version, Reason("form_version_order", facts))


def _may_sign(store: Store, person: int, new: NewSignature) -> None:
    actor = store.unit.actor
    if actor.kind is ActorKind.LINK:
        link = store.links.get(actor.link or 0)
        fits = (
            link is not None
            and link.purpose == "guardian_consent"
            and link.person == person
            and link.guardian == new.guardian
            and new.guardian is not None
        )
        if not fits:
            raise NotAllowed("this link is not for this signature")
        return
    own = ["self"] if new.guardian is None else []
    require(store, "person", person, "staff", *own)


def _check_past(store: Store, paper: str, day: date) -> None:
    if day > today_in(store):
        raise BadInput("signed_on", day, Reason("signed_in_future", {"paper": paper, "day": day}))


def _check_signature(store: Store, row: PersonRow, form: PaperForm, new: NewSignature) -> None:
    _check_past(store, form.title, new.signed_on)
    if new.signed_on < form.from_on:
        raise BadInput(
            "form",
            form.id,
            Reason(
                "signed_before_in_force",
                {"paper": form.title, "from_on": form.from_on, "day": new.signed_on},
            ),
        )
    if form.kind in GUARDIANS and new.guardian is None:
        raise BadInput("guardian", None, Reason("guardian_needed", {"paper": form.title}))
    if new.guardian is None:
        return
    guardian = store.people.guardian(new.guardian)
    if guardian is None or guardian.person != row.id:
        raise BadInput("guardian", new.guardian, Reason("guardian_not_of_person"))
    if not is_minor(store.facts.of(row.root), new.signed_on, LATEST_MAJORITY):
        facts: dict[str, Fact] = {"name": row.name, "day": new.signed_on}
        raise BadInput("guardian", new.guardian, Reason("no_guardian_for_adult", facts))
