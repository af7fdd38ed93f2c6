"""What is told of a person, and whether it can be used: one rule set for forms and spreadsheets."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from datetime import date, datetime

from roster.domain.dates import reaches_age_on
from roster.domain.errors import BadInput
from roster.domain.person_facts import MAJORITY
from roster.domain.reasons import Reason

OLDEST_YEARS = 120
NAME_MOST = 120
TEXT_MOST = 200
LANGUAGES = ("en", "es")
# RFC 5321 4.5.3.1: at most 64 signs before the @ and 254 in all; written as people type it.
_ADDRESS = re.compile(
    r"(?=.{3,254}$)[^\s@<>()\[\],;:\\\"]{1,64}@(?:[\w-]{1,63}\.)+[\w-]{2,63}", re.UNICODE
)
_PHONE = re.compile(r"\+?[\d\s().\-/x]{3,30}")
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


@dataclass(frozen=True)
class PersonEntry:
    """What is told of a person. Of `born_on` and `of_age_on` one may be missing, or both.

    `lat`, `lon` in degrees; both or neither.
    """

    name: str
    address: str | None = None
    phone: str | None = None
    born_on: date | None = None
    of_age_on: date | None = None
    language: str = "en"
    postcode: str | None = None
    lat: float | None = None
    lon: float | None = None
    household: str | None = None


def checked(entry: PersonEntry, today: date) -> PersonEntry:
    """The entry as it is kept: blanks taken off, day of majority worked out. BadInput else."""
    if entry.born_on is not None:
        check_birth(entry.born_on, today)
    check_place(entry.lat, entry.lon)
    if entry.language not in LANGUAGES:
        raise BadInput("language", entry.language, Reason("bad_choice", {"value": entry.language}))
    born = entry.born_on
    return replace(
        entry,
        name=plain_text("name", entry.name, NAME_MOST),
        address=None if not entry.address else mail_address(entry.address),
        phone=None if not entry.phone else phone_number(entry.phone),
        postcode=None if not entry.postcode else plain_text("postcode", entry.postcode, 12).upper(),
        household=(
            None if not entry.household else plain_text("household", entry.household, TEXT_MOST)
        ),
        of_age_on=entry.of_age_on if born is None else reaches_age_on(born, MAJORITY),
    )


def plain_text(field: str, told: str, most: int) -> str:
    """A text of one line, NFC, single blanks; BadInput if missing, too long or unprintable."""
    if _CONTROLS.search(told):
        raise BadInput(field, told, Reason("control_characters"))
    text = " ".join(told.split())
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    if not text:
        raise BadInput(field, told, Reason("missing_value"))
    if len(text) > most:
        raise BadInput(field, told, Reason("text_too_long", {"most": most}))
    return text


def mail_address(told: str, field: str = "address") -> str:
    """A mail address as typed, without outer blanks; BadInput if it cannot be one."""
    text = told.strip()
    if not _ADDRESS.fullmatch(text):
        raise BadInput(field, told, Reason("bad_address", {"value": text[:80]}))
    return text


def phone_number(told: str) -> str:
    """A phone number as typed, single blanks; BadInput if it cannot be one."""
    text = " ".join(told.split())
    if not _PHONE.fullmatch(text):
        raise BadInput("phone", told, Reason("bad_phone", {"value": text[:40]}))
    return text


def check_birth(born_on: date, today: date) -> None:
    """BadInput for a birth date in the future or more than 120 years ago."""
    if born_on > today or born_on.year < today.year - OLDEST_YEARS:
        raise BadInput("born_on", born_on, Reason("bad_birth_date", {"day": born_on}))


def check_place(lat: float | None, lon: float | None) -> None:
    """BadInput for half a place or one that is not on the globe."""
    if lat is None and lon is None:
        return
    if lat is None or lon is None:
        raise BadInput("home", None, Reason("half_a_place"))
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise BadInput("home", f"{lat}, {lon}", Reason("no_such_place", {"lat": lat, "lon": lon}))


def day_told(field: str, told: object) -> date | None:
    """A day from a cell or a form: a date, or text as 2027-06-20; None for an empty one."""
    if isinstance(told, datetime):
        return told.date()
    if isinstance(told, date):
        return told
    text = "" if told is None else str(told).strip()
    if not text:
        return None
    found = _DAY.fullmatch(text)
    if found:
        year, month, day = (int(part) for part in found.groups())
        try:
            return date(year, month, day)
        except ValueError:
            pass
    raise BadInput(field, text, Reason("bad_day", {"value": text[:40]}))


def day_asked(day: date | None, today: date) -> date:
    """The day asked about (today if none), within a century; BadInput for one far off."""
    asked = day or today
    if abs(asked.year - today.year) > 100:
        raise BadInput("on", str(asked), Reason("bad_day", {"value": str(asked)}))
    return asked
