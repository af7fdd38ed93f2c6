"""A programme with a region, a site and a course, and nobody but its staff: before the season."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roster.domain.people import Grant, Role, StaffRole, system
from roster.domain.training import StepKind
from roster.services import people, places, training

OFFICE = system("test")
BEFORE = date(2026, 1, 1)
COORDINATOR = "marit.solberg@example.org"
STEPS = {
    "safety": StepKind.LESSON,
    "records": StepKind.LESSON,
    "lead-day": StepKind.FIELD_DAY,
    "aid": StepKind.FIRST_AID,
}
TRACKS = {
    Role.CREW_MEMBER: ("safety",),
    Role.DATA_COLLECTOR: ("safety", "records"),
    Role.LEAD: ("safety", "records", "lead-day", "aid"),
    Role.FIRST_AIDER: ("aid",),
}
YOUNGEST = {Role.CREW_MEMBER: 16}

PEOPLE_SHEET = """\
Name,E-mail,Born,ZIP,Phone
Ana Ferrer,ana.ferrer@example.org,1983-04-11,99163,509 555 0101
Mina Sato,mina.sato@example.org,1990-04-11,99163,509 555 0102
Bea Lindqvist,bea.lindqvist@example.org,1995-04-11,99163,509 555 0103
Pavel Dvorak,pavel.dvorak@example.org,1962-04-11,99111,509 555 0104
Rosa Iniguez,rosa.iniguez@example.org,1993-04-11,99111,509 555 0105
"""
STEPS_SHEET = """\
E-mail,Step,Done on,Valid until
ana.ferrer@example.org,safety,2027-04-05,
ana.ferrer@example.org,records,2027-04-25,
ana.ferrer@example.org,lead-day,2027-05-16,
ana.ferrer@example.org,aid,2027-05-01,2028-04-30
mina.sato@example.org,safety,2027-04-05,
mina.sato@example.org,records,2027-04-25,
bea.lindqvist@example.org,safety,2027-04-05,
pavel.dvorak@example.org,safety,2027-04-05,
rosa.iniguez@example.org,safety,2027-04-05,
"""


@dataclass(frozen=True)
class SmallProgramme:
    """Numbers of what there is."""

    region: int
    site: int
    population: int
    coordinator: int
    duty: int
    stand_in: int


def build() -> SmallProgramme:
    """The programme on the day of the clock."""
    places.add_programme(OFFICE, "Lantern and Quill seed programme", "America/Los_Angeles")
    places.add_season(OFFICE, "2027", date(2027, 4, 1), date(2027, 10, 31))
    region = places.add_region(OFFICE, "PAL", "Palouse", "America/Los_Angeles", "991")
    for code, kind in STEPS.items():
        step = training.NewStep(code, code.replace("-", " "), kind, from_on=BEFORE)
        training.define_step(OFFICE, step)
    for role, steps in TRACKS.items():
        new = training.NewTrack(
            role.value, role.value.replace("_", " "), role, YOUNGEST.get(role, 18), steps,
            from_on=BEFORE,
        )  # fmt: skip
        training.define_track(OFFICE, new)
    coordinator = _staff(
        "Marit Solberg", COORDINATOR, Grant(StaffRole.COORDINATOR, None, BEFORE, None)
    )
    duty_grant = Grant(StaffRole.DUTY, region, BEFORE, None)
    duty = _staff("Dale Whitcomb", "dale.whitcomb@example.org", duty_grant)
    stand_in = _staff("Imke Raske", "imke.raske@example.org", duty_grant)
    site, population = _land(region)
    return SmallProgramme(region, site, population, coordinator, duty, stand_in)


def _staff(name: str, address: str, grant: Grant) -> int:
    new = people.NewPerson(name, address, "509 555 0100", date(1970, 1, 1), postcode="99163")
    number = people.add_person(OFFICE, new)
    people.grant_role(OFFICE, number, grant)
    return number


def _land(region: int) -> tuple[int, int]:
    zone = places.add_zone(OFFICE, "15 - 20 Deg. F. / 3 - 6", source="published label")
    taxon = places.add_taxon(
        OFFICE, places.NewTaxon("BASA3", "Balsamorhiza sagittata", 10, "arrowleaf balsamroot")
    )
    calendar = places.NewCalendar(taxon, 165, 4.0, 46.9, -117.05, 3300, "from memory")
    places.add_calendar(OFFICE, calendar)
    site = places.add_site(
        OFFICE,
        places.NewSite(
            "Marrow Butte", region, 46.90, -117.05, "America/Los_Angeles", "WA",
            "Upper car park, Marrow Butte", 3300, dispatch="911",
            hospital="Pullman, emergency room", hospital_minutes=25, manager="County parks",
        ),
    )  # fmt: skip
    new = places.NewPopulation(site, taxon, zone, "south face", elevation_ft=3300)
    population = places.add_population(OFFICE, new)
    permission = places.NewPermission(
        site, "County parks", date(2027, 5, 1), date(2027, 9, 30), {taxon: None}, people=12
    )
    places.add_permission(OFFICE, permission)
    return site, population
