"""A guardian's consent by mailed link: asked for, read, signed; the second sign comes apart."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from roster.domain.errors import BadInput, NotFound
from roster.domain.paper_forms import ConsentScope, PaperForm, PaperKind
from roster.domain.papers import GUARDIANS
from roster.domain.people import Actor
from roster.domain.person_facts import is_minor
from roster.domain.reasons import Fact, Reason
from roster.services import access, clearance, clock, crewcheck, links, messages
from roster.store.links import Link
from roster.store.people import PersonRow
from roster.store.people_roles import GuardianRow
from roster.store.registry import Store
from roster.store.transaction import read, write

PURPOSE = "guardian_consent"
GOOD_FOR = timedelta(days=30)


@dataclass(frozen=True)
class Paper:
    """A form as it is shown: the one that is shown is the one that is signed."""

    form: PaperForm
    text: str


@dataclass(frozen=True)
class ConsentPage:
    """What the guardian sees. `signed` once the link was used; `until_on` is the proposed end."""

    minor: str
    guardian: str
    papers: tuple[Paper, ...]
    today: date
    last_day: date
    signed: bool


@dataclass(frozen=True)
class Signed:
    """What the guardian sends: the name typed, the forms shown, the scope, the last valid day."""

    typed_name: str
    forms: tuple[int, ...]
    scope: ConsentScope
    last_day: date | None = None


def ask(actor: Actor, person: int, guardian: int, operation: UUID | None = None) -> int:
    """Mail a guardian the link to read and sign; gives the link's number. For the region's staff.

    NotFound for a guardian of somebody else; BadInput if the person is of age.
    """

    def body(store: Store) -> int:
        access.require(store, "person", person, "staff")
        stands = store.people.guardian(guardian)
        if stands is None or stands.person != person:
            raise NotFound("guardian", guardian)
        _only_for_a_minor(store, store.people.get(person), _today(store))
        until = clock.machine_now() + GOOD_FOR
        holder = links.Holder(guardian=guardian)
        link = links.make(store, PURPOSE, ("person", person), until, holder)
        messages.queue(
            store, "guardian_consent_link", person=person, guardian=guardian,
            facts={"link": link.id}, dedupe=f"guardian_consent_link:{link.id}",
        )  # fmt: skip
        return link.id

    return write(body, actor=actor, operation=operation)


def page(token: str) -> ConsentPage:
    """What stands behind a consent link; BadInput (`link_dead`) if it is not good."""

    def body(store: Store) -> ConsentPage:
        link, minor, guardian = _opened(store, token)
        today = _today(store)
        season = store.programme.season_of(today)
        last_day = season.until_on - timedelta(1) if season else today + timedelta(180)
        papers = tuple(Paper(f, store.papers.text_of(f.id)[0]) for f in _forms(store, minor, today))
        used = link.used_at is not None
        return ConsentPage(minor.name, guardian.name, papers, today, last_day, used)

    return read(body)


def sign(token: str, signed: Signed, operation: UUID | None = None) -> list[int]:
    """Record the guardian's signatures under what was shown; gives their numbers.

    It counts only after a second sign (a call, or the paper), which staff record. BadInput names
    the field: typed_name, last_day, forms, link.
    """
    actor = links.actor_of(links.opened(token, PURPOSE))

    def body(store: Store) -> list[int]:
        link, minor, guardian = _opened(store, token)
        today = _today(store)
        _only_for_a_minor(store, minor, today)
        _check(signed, today)
        forms = {f.id: f for f in _forms(store, minor, today)}
        if set(signed.forms) != set(forms) or not forms:
            raise BadInput("forms", "", Reason("consent_forms_changed"))
        links.use(store, link)
        made = [_record(store, (minor, guardian), form, signed, today) for form in forms.values()]
        clearance.refresh(store, minor.root)
        crewcheck.refresh_for_person(store, minor.id)
        return made

    return write(body, actor=actor, operation=operation)


def _record(
    store: Store, who: tuple[PersonRow, GuardianRow], form: PaperForm, signed: Signed, today: date
) -> int:
    minor, guardian = who
    until = signed.last_day + timedelta(1) if signed.last_day else None
    scope = signed.scope if form.kind is PaperKind.GUARDIAN_CONSENT else None
    number = store.papers.add_signature(
        scope, person=minor.id, paper_form=form.id, signed_on=today, until_on=until, way="link",
        guardian=guardian.id, source_key=None,
    )  # fmt: skip
    store.papers.add_private(number, signed.typed_name.strip(), None)
    store.unit.note(
        "sign", "person", minor.id, region=minor.region,
        after={"paper": form.id, "guardian": guardian.id, "signature": number},
    )  # fmt: skip
    return number


def _opened(store: Store, token: str) -> tuple[Link, PersonRow, GuardianRow]:
    link = links.find(store, token, PURPOSE)
    guardian = store.people.guardian(link.guardian or 0)
    if guardian is None or guardian.person != link.object_id:
        raise BadInput("link", "", Reason("link_dead"))
    return link, store.people.get(link.object_id), guardian


def _forms(store: Store, minor: PersonRow, day: date) -> list[PaperForm]:
    """The guardian's forms in force, in the family's language, in English where there is none."""
    wanted = [f for f in store.papers.forms_in_force(day) if f.kind in GUARDIANS]
    found: dict[str, PaperForm] = {}
    for form in sorted(wanted, key=lambda f: (f.language == minor.language, f.language == "en")):
        found[form.code] = form
    return sorted(found.values(), key=lambda f: (f.kind != PaperKind.GUARDIAN_CONSENT, f.code))


def _only_for_a_minor(store: Store, person: PersonRow, day: date) -> None:
    if not is_minor(store.facts.of(person.root), day):
        facts: dict[str, Fact] = {"name": person.name, "day": day}
        raise BadInput("person", person.id, Reason("no_guardian_for_adult", facts))


def _check(signed: Signed, today: date) -> None:
    if len(signed.typed_name.strip()) < 3:
        raise BadInput("typed_name", signed.typed_name, Reason("name_not_typed"))
    if signed.last_day is not None and signed.last_day < today:
        raise BadInput("last_day", signed.last_day, Reason("consent_ends_in_the_past"))


def _today(store: Store) -> date:
    programme = store.programme.the_one()
    return clock.today(programme.time_zone if programme else "UTC")
