"""Brings the people of the demonstration on record: training, papers, roles, a guardian."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from roster.domain.import_columns import ImportKind
from roster.domain.paper_forms import ConsentScope, PaperKind, SecondWay, SignedBy
from roster.domain.people import Actor, Grant, Role, StaffRole
from roster.domain.person_facts import WithheldKind
from roster.domain.training import StepKind
from roster.measure.demo import course, people
from roster.measure.demo.ground import Ground
from roster.measure.demo.people import Somebody
from roster.measure.demo.sheets import card_sheet, people_sheet, steps_sheet
from roster.services import demo, exchange, papers, standing, training
from roster.services import people as registry
from roster.services.paper_stack import record_stack

STAFF_FROM = date(2024, 3, 1)
SUSPENDED_FROM = date(2027, 6, 1)
LAPSES_ON = date(2027, 6, 26)
"""The last valid day of one lead's first-aid card."""


@dataclass
class Crew:
    """Numbers of people by name, and of paper forms by code."""

    people: dict[str, int] = field(default_factory=dict)
    forms: dict[str, int] = field(default_factory=dict)

    def number(self, somebody: Somebody) -> int:
        """The number of one person."""
        return self.people[somebody.name]


def first_coordinator(system: Actor, crew: Crew) -> int:
    """The coordinator, added before anything else, as on a new machine."""
    number = registry.add_person(system, _entry(people.COORDINATOR))
    crew.people[people.COORDINATOR.name] = number
    registry.grant_role(system, number, Grant(StaffRole.COORDINATOR, None, STAFF_FROM, None))
    return number


def put_forms_in_force(actor: Actor, crew: Crew) -> None:
    """The four kinds of papers."""
    for code, kind, agency, title, validity, text in course.FORMS:
        new = papers.NewForm(
            code, PaperKind(kind), title, text, validity, agency, from_on=course.FORMS_FROM
        )
        crew.forms[code] = papers.put_form_in_force(actor, new)


def lay_course(actor: Actor) -> None:
    """Steps and tracks."""
    for one in course.STEPS:
        rules = training.StepRules(one.validity, one.pass_mark, one.self_counts)
        training.define_step(
            actor,
            training.NewStep(
                code=one.code,
                name=one.name,
                kind=StepKind(one.kind),
                rules=rules,
                needs=one.needs,
                paper=one.paper,
                about=one.about,
                from_on=course.FORMS_FROM,
            ),
        )
    for code, name, role, steps, youngest, with_guardian in course.TRACKS:
        new = training.NewTrack(
            code, name, Role(role), youngest, steps, with_guardian, from_on=course.FORMS_FROM
        )
        training.define_track(actor, new)


def take_on(actor: Actor, crew: Crew, ground: Ground) -> None:
    """Everybody else by one spreadsheet, each in the region of the home place; then staff roles."""
    others = [one for one in people.PEOPLE if one.name not in crew.people]
    exchange.take_in(actor, ImportKind.PEOPLE, "people-2027.csv", people_sheet(others))
    crew.people |= demo.numbers({one.name: one.address for one in others})
    for one in people.PEOPLE:
        if one.level not in ("none", "started"):
            contact = f"Emergency contact of {one.name}"
            standing.set_emergency_contact(actor, crew.number(one), contact, one.phone, "family")
    regional = Grant(StaffRole.REGIONAL, ground.regions["OWY"], STAFF_FROM, None)
    registry.grant_role(actor, crew.number(people.REGIONAL), regional)
    for one in (people.DUTY, people.STAND_IN):
        duty = Grant(StaffRole.DUTY, ground.regions["PAL"], STAFF_FROM, None)
        registry.grant_role(actor, crew.number(one), duty)


def _entry(one: Somebody) -> registry.NewPerson:
    lat, lon, postcode = people.TOWNS[one.town]
    return registry.NewPerson(
        one.name,
        one.address,
        one.phone,
        one.born_on,
        postcode=postcode,
        lat=lat,
        lon=lon,
        household=one.name.split()[-1],
    )


def sign_papers(actor: Actor, crew: Crew) -> None:
    """Releases and the northern agreement, as they were handed in on paper: a stack of each."""
    grown = [one for one in people.PEOPLE if one.level not in ("none", "started")]
    for code in ("release", "agreement-north"):
        signed = {
            crew.number(one): course.LONG_AGO if "old_release" in one.marks else course.SIGNED_ON
            for one in grown
            if code != "release" or one is not people.MINOR
        }
        record_stack(actor, crew.forms[code], signed)
    _guardian_signs(actor, crew)


def _guardian_signs(actor: Actor, crew: Crew) -> None:
    """The minor's guardian: agreement besides, consent, emergency care, and the second sign."""
    minor, guardian = crew.number(people.MINOR), people.GUARDIAN
    number = standing.add_guardian(actor, minor, guardian.name, guardian.address, guardian.phone)
    scope = ConsentScope(
        activities="collecting and site checks",
        no_signal=True,
        travel="in the cars of cleared drivers",
        fetched_by=(guardian.name,),
    )
    for code in ("agreement-north", "consent", "care"):
        signature = papers.record_signature(
            actor,
            minor,
            papers.NewSignature(
                crew.forms[code],
                course.SIGNED_ON,
                SignedBy.PAPER,
                guardian=number,
                scope=scope if code == "consent" else None,
                typed_name=guardian.name,
            ),
        )
        if code == "consent":
            papers.record_second_sign(actor, signature, SecondWay.CALL, date(2027, 4, 6))


def record_training(actor: Actor) -> None:
    """What everybody has finished on the days of the courses, by one spreadsheet."""
    sheet = steps_sheet(people.PEOPLE)
    exchange.take_in(actor, ImportKind.COMPLETIONS, "training-2027.csv", sheet)


def correct_a_card(actor: Actor) -> None:
    """The first-aid card of one lead ends earlier than was told: a sheet puts it right."""
    sheet = card_sheet(people.LAPSING_LEAD, LAPSES_ON)
    exchange.take_in(actor, ImportKind.COMPLETIONS, "cards-june-2027.csv", sheet)


def suspend(actor: Actor, crew: Crew) -> None:
    """One lead is suspended from a day on; the past stays as it was."""
    what = standing.Withholding(None, WithheldKind.SUSPENDED, SUSPENDED_FROM, reason_code="asked")
    standing.withhold(actor, crew.number(people.SUSPENDED), what)
