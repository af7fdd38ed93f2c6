"""`person add`: a person by name, the first coordinator too."""

from __future__ import annotations

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag
from roster.cli.values import a_day, a_place
from roster.domain.people import Grant, StaffRole, system
from roster.services import clearance, people, tracks
from roster.services.people import NewPerson
from roster.words import word


@click.group("person")
def person() -> None:
    """People of the programme."""


@person.command("add")
@click.argument("name")
@click.option("--address", help="Mail address to sign in with.")
@click.option("--staff-role", type=click.Choice([r.value for r in StaffRole]))
@click.option("--region", help="Code or name of a region.")
@click.option("--track", help="Code of a track: says what stands before its role.")
@click.option("--home", help="Home place in degrees: LAT,LON.")
@click.option("--home-postcode", help="Home postcode.")
@click.option("--born", help="Birth date, as 1990-05-31.")
@click.option("--of-age", is_flag=True, help="Of age; the birth date is not told.")
@json_flag
@with_appcontext
def add(name: str, as_json: bool, **told: str | None) -> int:
    """Add a person called NAME and print the number."""
    region = people.find_region(told["region"]) if told["region"] else None
    role = tracks.role_of(told["track"]) if told["track"] else None
    today = people.programme_today()
    lat, lon = a_place(told["home"]) if told["home"] else (None, None)
    new = NewPerson(
        name=name, address=told["address"], lat=lat, lon=lon, postcode=told["home_postcode"],
        born_on=a_day("born", told["born"]) if told["born"] else None,
        of_age_on=today if told["of_age"] else None, region=region,
    )  # fmt: skip
    grant = None
    if told["staff_role"]:
        grant = Grant(StaffRole(told["staff_role"]), _reach(told["staff_role"], region), today,
                      None)  # fmt: skip
    number = people.add_person(system("cli"), new, None, grant)
    result = {"person": f"V{number}", "name": name}
    lines = [f"V{number} {name}"]
    if role is None:
        return answer(True, result, lines=lines, as_json=as_json)
    found = clearance.cleared(system("cli"), number, role, today).verdict
    lines.append(f"Before {word('role', role)}:" if found.reasons else f"Cleared: {role}")
    return answer(True, result, reasons=found.reasons, lines=lines, as_json=as_json)


def _reach(role: str, region: int | None) -> int | None:
    return None if role == StaffRole.COORDINATOR else region


COMMANDS = [person]
