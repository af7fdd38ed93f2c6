"""People through the use cases, on both databases."""

from datetime import date
from typing import Any

import pytest
from flask import Flask

from roster.domain.errors import BadInput, Conflict, NotAllowed, RuleBroken
from roster.domain.people import Grant, Role, StaffRole
from roster.domain.person_facts import WithheldKind
from roster.services import clearance, people, standing
from roster.services.people import NewPerson
from roster.services.standing import Withholding
from roster.store.people import PersonRow
from roster.store.transaction import read
from tests.support.trained import CLI, TODAY, adult, as_person, cleared_lead, programme

BORN = date(1990, 5, 1)


def row(number: int) -> PersonRow:
    return read(lambda store: store.people.get(number))


def test_a_person_is_added_to_the_region_of_the_postcode(both: Flask) -> None:
    made = programme()
    number = people.add_person(
        CLI, NewPerson("  Wren   Halvorsen ", born_on=BORN, postcode="99163")
    )
    found = row(number)
    assert (found.name, found.region, found.of_age_on) == (
        "Wren Halvorsen", made.region, date(2008, 5, 1)
    )  # fmt: skip
    assert row(adult(postcode="83843")).region is None


@pytest.mark.parametrize(
    ("field", "told", "code"),
    [
        ("name", " ", "missing_value"),
        ("name", "a" * 121, "text_too_long"),
        ("name", "Wren\x07", "control_characters"),
        ("address", "wren(at)example.org", "bad_address"),
        ("phone", "call me", "bad_phone"),
        ("born_on", date(2027, 6, 17), "bad_birth_date"),
        ("born_on", date(1901, 1, 1), "bad_birth_date"),
        ("lat", 46.0, "half_a_place"),
        ("language", "xx", "bad_choice"),
    ],
)
def test_what_cannot_be_told_of_a_person_is_refused_with_its_field(
    app: Flask, field: str, told: Any, code: str
) -> None:
    programme()
    with pytest.raises(BadInput) as refused:
        people.add_person(CLI, NewPerson(**({"name": "Wren"} | {field: told})))
    assert refused.value.reason.code == code
    assert read(lambda store: store.people.count_all(None)) == 0


def test_one_sign_in_address_belongs_to_one_person(both: Flask) -> None:
    programme()
    adult(address="Wren@example.org")
    with pytest.raises(Conflict) as refused:
        adult("Somebody Else", address="wren@EXAMPLE.org")
    assert refused.value.reason.code == "address_taken"
    assert read(lambda store: store.people.count_all(None)) == 1


def test_sending_a_form_twice_adds_one_person(both: Flask) -> None:
    programme()
    new = NewPerson("Wren Halvorsen", born_on=BORN)
    operation = "0b8f3d9e-30a2-4a0e-9f0a-0f3c1e2d4c5b"
    first = people.add_person(CLI, new, operation)
    assert people.add_person(CLI, new, operation) == first
    assert read(lambda store: store.people.count_all(None)) == 1


def test_a_changed_postcode_hands_the_person_to_its_region_and_keeps_the_past(both: Flask) -> None:
    made = programme()
    number = adult()
    people.change_person(CLI, number, {"postcode": "99163", "phone": "208 555 0142"})
    assert (row(number).region, row(number).phone) == (made.region, "208 555 0142")
    trail = read(lambda store: store.journal.of("person", number))
    assert ("phone", None, "208 555 0142") in trail[0].values


def test_a_person_changes_own_phone_and_not_the_own_birth_date(both: Flask) -> None:
    programme()
    number = adult()
    people.change_person(as_person(number), number, {"phone": "208 555 0142"})
    with pytest.raises(NotAllowed):
        people.change_person(as_person(number), number, {"born_on": date(1980, 1, 1)})
    assert row(number).born_on == BORN
    with pytest.raises(NotAllowed):
        people.change_person(as_person(adult("Another One")), number, {"phone": "1234567"})


def test_a_regional_coordinator_adds_people_of_the_own_region_only(both: Flask) -> None:
    made = programme()
    regional = adult("Marit Solberg")
    people.grant_role(CLI, regional, Grant(StaffRole.REGIONAL, made.region, TODAY, None))
    mine = NewPerson("Ida Holt", born_on=BORN, postcode="99163")
    assert row(people.add_person(as_person(regional), mine)).region == made.region
    with pytest.raises(NotAllowed):
        people.grant_role(
            as_person(regional), regional, Grant(StaffRole.COORDINATOR, None, TODAY, None)
        )


def test_the_programme_never_loses_its_last_coordinator(both: Flask) -> None:
    programme()
    only = adult("Marit Solberg")
    grant = people.grant_role(CLI, only, Grant(StaffRole.COORDINATOR, None, TODAY, None))
    with pytest.raises(RuleBroken) as refused:
        people.end_grant(CLI, only, grant, TODAY)
    assert refused.value.reasons[0].code == "last_coordinator"
    other = adult("Ana Ferrer")
    people.grant_role(CLI, other, Grant(StaffRole.COORDINATOR, None, TODAY, None))
    people.end_grant(CLI, only, grant, TODAY)
    assert read(lambda store: store.access.actor_of(only)).grants == ()  # type: ignore[union-attr]


def test_a_suspension_takes_a_lead_out_of_the_table_from_its_day(both: Flask) -> None:
    number = cleared_lead(programme())
    what = Withholding(Role.LEAD, WithheldKind.SUSPENDED, date(2027, 7, 1))
    held_back = standing.withhold(CLI, number, what)
    spans = {(r.role, r.until_on) for r in read(lambda store: store.held.of(number))}
    assert ("lead", date(2027, 7, 1)) in spans
    assert ("crew_member", date(2028, 5, 1)) in spans
    standing.give_back(CLI, number, held_back, "settled")
    assert clearance.cleared(CLI, number, Role.LEAD, date(2027, 7, 2)).verdict.yes


def test_a_suspension_given_back_still_held_on_its_days(both: Flask) -> None:
    number = cleared_lead(programme())
    what = Withholding(Role.LEAD, WithheldKind.SUSPENDED, date(2027, 6, 1))
    standing.give_back(CLI, number, standing.withhold(CLI, number, what), "settled")
    asked = [date(2027, 5, 31), date(2027, 6, 1), date(2027, 6, 15), TODAY]
    found = [clearance.cleared(CLI, number, Role.LEAD, day).verdict.yes for day in asked]
    assert found == [True, False, False, True]


def test_the_guardians_mailbox_is_not_that_of_the_minor(both: Flask) -> None:
    programme()
    number = people.add_person(
        CLI, NewPerson("Bea Lindqvist", born_on=date(2010, 3, 1), address="bea@example.org")
    )
    with pytest.raises(BadInput) as refused:
        standing.add_guardian(CLI, number, "Olle Lindqvist", "BEA@example.org")
    assert refused.value.reason.code == "guardian_is_the_minor"


def test_the_newest_emergency_contact_replaces_the_old_one(both: Flask) -> None:
    programme()
    number = adult()
    standing.set_emergency_contact(CLI, number, "June Halvorsen", "208 555 0177", "sister")
    standing.set_emergency_contact(as_person(number), number, "Kim Lund", "208 555 0178")
    trail = read(lambda store: store.journal.of("person", number))
    assert [t.verb for t in trail[:2]] == ["set_emergency_contact"] * 2
    assert all(not t.values for t in trail[:2])
