"""Which column of a spreadsheet is which: by its heading, in English or Spanish, any order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason


class ImportKind(StrEnum):
    """What a spreadsheet holds, one a row."""

    PEOPLE = "people"
    COMPLETIONS = "completions"
    POSTCODES = "postcodes"


# Field -> headings that mean it, in the form of `heading_key`.
PEOPLE: dict[str, tuple[str, ...]] = {
    "number": ("number", "person number", "volunteer number", "id", "numero"),
    "name": ("name", "full name", "person", "volunteer", "nombre", "nombre completo"),
    "first_name": ("first name", "given name", "nombre de pila"),
    "last_name": ("last name", "surname", "family name", "apellido", "apellidos"),
    "address": ("address", "mail", "e mail", "email", "mail address", "email address",
                "e mail address", "correo", "correo electronico"),
    "phone": ("phone", "phone number", "telephone", "mobile", "cell", "telefono"),
    "born_on": ("born", "born on", "birth date", "date of birth", "birthday", "dob",
                "fecha de nacimiento"),
    "of_age": ("of age", "adult", "18 or over", "mayor de edad"),
    "language": ("language", "idioma"),
    "postcode": ("postcode", "postal code", "zip", "zip code", "codigo postal"),
    "lat": ("lat", "latitude", "latitud"),
    "lon": ("lon", "long", "lng", "longitude", "longitud"),
    "household": ("household", "family", "hogar"),
    "region": ("region", "region code", "zona de trabajo"),
}  # fmt: skip
COMPLETIONS: dict[str, tuple[str, ...]] = {
    "person": ("person", "number", "person number", "address", "mail", "email", "e mail",
               "email address", "mail address", "volunteer", "correo", "persona"),
    "step": ("step", "step code", "training", "training step", "lesson", "paso"),
    "done_on": ("done", "done on", "finished", "finished on", "date", "day", "completed",
                "completed on", "fecha"),
    "own_until": ("valid until", "valid to", "until", "last valid day", "expires", "expires on",
                  "valido hasta"),
    "score": ("score", "mark", "per cent", "percent", "nota"),
}  # fmt: skip
POSTCODES: dict[str, tuple[str, ...]] = {
    "postcode": PEOPLE["postcode"],
    "lat": PEOPLE["lat"],
    "lon": PEOPLE["lon"],
}
FIELDS: Mapping[ImportKind, dict[str, tuple[str, ...]]] = {
    ImportKind.PEOPLE: PEOPLE,
    ImportKind.COMPLETIONS: COMPLETIONS,
    ImportKind.POSTCODES: POSTCODES,
}
NEEDED: Mapping[ImportKind, tuple[tuple[str, ...], ...]] = {
    ImportKind.PEOPLE: (("name", "first_name", "last_name", "number"),),
    ImportKind.COMPLETIONS: (("person",), ("step",), ("done_on",)),
    ImportKind.POSTCODES: (("postcode",), ("lat",), ("lon",)),
}


@dataclass(frozen=True)
class Columns:
    """The place of each field among the columns, and the headings that nobody knew."""

    places: Mapping[str, int]
    ignored: tuple[str, ...]


def heading_key(heading: str) -> str:
    """A heading without accents, case and punctuation: "E-Mail " becomes "e mail"."""
    plain = unicodedata.normalize("NFKD", heading)
    letters = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^0-9a-z]+", " ", letters.casefold()).split())


def matched(kind: ImportKind, headings: Sequence[str]) -> Columns:
    """Which column is which. BadInput if a needed one is missing or one stands there twice."""
    meaning = {name: field for field, names in FIELDS[kind].items() for name in names}
    places: dict[str, int] = {}
    ignored = []
    for place, heading in enumerate(headings):
        field = meaning.get(heading_key(heading))
        if field is None:
            if heading.strip():
                ignored.append(heading.strip())
        elif field in places:
            facts = {"column": heading.strip(), "other": headings[places[field]].strip()}
            raise BadInput("file", heading, Reason("column_twice", facts))
        else:
            places[field] = place
    for any_of in NEEDED[kind]:
        if not any(field in places for field in any_of):
            told = FIELDS[kind][any_of[0]][0]
            raise BadInput("file", told, Reason("column_missing", {"column": told}))
    return Columns(places, tuple(ignored))
