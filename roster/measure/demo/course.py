"""The training of the demonstration: papers, steps and tracks, and who has finished what."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

FORMS_FROM = date(2025, 1, 1)
SIGNED_ON = date(2027, 4, 5)
LONG_AGO = date(2026, 2, 28)
"""A release signed then held through 27 February 2027."""
AID_UNTIL = date(2028, 4, 30)

DONE_ON = {
    "contact": date(2027, 4, 5),
    "ethics": date(2027, 4, 6),
    "safety": date(2027, 4, 7),
    "youth": date(2027, 4, 8),
    "screening": date(2027, 4, 12),
    "driver": date(2027, 4, 14),
    "first-day": date(2027, 4, 18),
    "how-much": date(2027, 4, 25),
    "aid": date(2027, 5, 1),
    "plants": date(2027, 5, 8),
    "records": date(2027, 5, 15),
    "lead-day": date(2027, 5, 16),
}
"""The days of this season's courses; who is trained went through them in this order."""

FORMS = (
    ("release", "release", None, "Release for field work", "P12M",
     "I know that field work has dangers: roads, heat, lightning, smoke, slopes, snakes, ticks and "
     "sharp tools. I take part of my own free will and follow the lead's word. This wording is "
     "invented for a demonstration and binds nobody."),
    ("agreement-north", "agreement", "Northern field office", "Volunteer agreement", "P12M",
     "I serve as a volunteer under the direction of the field office named above, without pay. "
     "This wording is invented for a demonstration and binds nobody."),
    ("consent", "guardian_consent", None, "Guardian's consent", "P12M",
     "I allow the child named above to take part in field days, to travel in the cars of cleared "
     "drivers, and to be at sites without a telephone signal where I tick it. This wording is "
     "invented for a demonstration and binds nobody."),
    ("care", "emergency_care", None, "Emergency care for a minor", "P12M",
     "In an emergency I allow medical care for the child named above until I can be reached. This "
     "wording is invented for a demonstration and binds nobody."),
)  # fmt: skip
"""Code, kind, agency, title, validity, text."""


@dataclass(frozen=True)
class Lesson:
    """One step: `self_counts` if what the person reports counts at once."""

    code: str
    name: str
    kind: str
    validity: str | None = None
    pass_mark: float | None = None
    self_counts: bool = False
    needs: tuple[str, ...] = ()
    paper: str | None = None
    about: str = ""


STEPS = (
    Lesson("contact", "Contact details", "contact_details", "P12M", self_counts=True,
           about="Address, telephone and whom to call in an emergency are right."),
    Lesson("release", "Release for field work", "papers", paper="release"),
    Lesson("ethics", "Seed and plant ethics", "lesson", "P36M", self_counts=True,
           about="Why no more than a fifth is taken, and why seed goes back to its own zone."),
    Lesson("safety", "Safety in the field", "lesson", "P12M", self_counts=True,
           about="Roads, heat, lightning, smoke, ticks and snakes; when to stop."),
    Lesson("first-day", "First field day", "field_day", "P24M", needs=("ethics", "safety"),
           about="A day beside a lead: knowing the plant, cutting, bagging, labels."),
    Lesson("how-much", "How much to take", "quiz", "P24M", pass_mark=80, self_counts=True,
           needs=("ethics",), about="Twelve questions; 80 of 100 to pass."),
    Lesson("plants", "Plant identification", "plant_identification", "season_end",
           needs=("first-day",), about="Ten of this season's plants and their look-alikes."),
    Lesson("records", "Keeping the record", "lesson", "P24M", needs=("how-much",),
           about="Counts, seed fill, numbers, photographs, vouchers."),
    Lesson("lead-day", "Lead field day", "field_day", "P24M", needs=("records", "plants"),
           about="A day led under the eyes of a lead."),
    Lesson("aid", "First-aid card", "first_aid",
           about="A card of a recognised course, with its own last valid day."),
    Lesson("driver", "Driver check", "driver_check", "P12M", about="Licence, insurance, vehicle."),
    Lesson("youth", "Youth protection", "youth_protection", "P24M"),
    Lesson("screening", "Screening", "screening", "P24M",
           about="Only the result is kept, never the report."),
)  # fmt: skip

CREW = ("contact", "release", "ethics", "safety", "first-day")
DATA = (*CREW, "how-much", "plants", "records")
LEAD = (*DATA, "lead-day", "aid")
TRACKS = (
    ("crew", "Crew work", "crew_member", CREW, 16, 14),
    (
        "beside-minors",
        "Crew work beside minors",
        "crew_member",
        (*CREW, "youth", "screening"),
        18,
        None,
    ),
    ("records", "Record keeping", "data_collector", DATA, 18, None),
    ("leading", "Leading", "lead", LEAD, 18, None),
    ("first-aid", "First aid", "first_aider", ("aid",), 18, None),
    ("driving", "Driving", "driver", ("driver",), 21, None),
)
"""Code, name, role, steps, youngest age, youngest age with the own guardian there."""

_BY_LEVEL = {"none": (), "started": CREW[:3], "crew": CREW, "data": DATA, "lead": LEAD}
_BY_MARK = {"aid": ("aid",), "drive": ("driver",), "safe": ("youth", "screening")}


def finished(level: str, marks: str) -> list[str]:
    """Codes of the steps that a person of this level and with these marks has finished."""
    codes = list(_BY_LEVEL[level])
    for mark in marks.split():
        codes += [code for code in _BY_MARK.get(mark, ()) if code not in codes]
    return [code for code in codes if code != "release"]
