"""Invented people at example.org: who they are, where they live, what they have finished.

`level` is the highest track that the person has finished: none, crew, data, lead. Marks:
aid (first-aid card), drive (driver check), safe (youth protection and screening), and the odd
ones that the season needs, which `season.py` looks for by name.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

TOWNS = {
    "Pullman": (46.73, -117.18, "99163"),
    "Colfax": (46.88, -117.36, "99111"),
    "Garfield": (47.01, -117.14, "99130"),
    "Moscow": (46.73, -117.00, "83843"),
    "Cheney": (47.49, -117.58, "99004"),
    "Lewiston": (46.42, -117.02, "83501"),
    "Nampa": (43.58, -116.56, "83651"),
    "Caldwell": (43.66, -116.69, "83605"),
    "Boise": (43.61, -116.20, "83702"),
    "Murphy": (43.22, -116.55, "83650"),
    "Marsing": (43.54, -116.81, "83639"),
    "Yakima": (46.60, -120.51, "98901"),
}
"""Real towns; places and postcodes from memory, rounded. Yakima lies in no region of ours."""


@dataclass(frozen=True)
class Somebody:
    """One invented person."""

    name: str
    town: str
    born_on: date
    level: str = "none"
    marks: str = ""

    @property
    def address(self) -> str:
        """The sign-in address, made from the name."""
        plain = self.name.lower().replace("á", "a").replace(" ", ".")
        return f"{plain}@example.org"

    @property
    def place(self) -> tuple[float, float]:
        """Latitude and longitude of the town."""
        lat, lon, _postcode = TOWNS[self.town]
        return lat, lon

    @property
    def household(self) -> str:
        """Those of one surname live together."""
        return self.name.split()[-1]

    @property
    def postcode(self) -> str:
        """The postcode of the town."""
        return TOWNS[self.town][2]

    @property
    def phone(self) -> str:
        """A number of the range that is kept for fiction."""
        seed = sum(map(ord, self.name)) % 100
        return f"509 555 01{seed:02d}"


def _born(year: int, month: int = 4, day: int = 11) -> date:
    return date(year, month, day)


COORDINATOR = Somebody("Marit Solberg", "Pullman", _born(1971), "lead", "aid safe")
REGIONAL = Somebody("Ruth Calloway", "Nampa", _born(1976), "lead", "aid safe")
DUTY = Somebody("Dale Whitcomb", "Pullman", _born(1959), "crew")
STAND_IN = Somebody("Imke Raske", "Colfax", _born(1964), "crew")
LEAD = Somebody("Ana Ferrer", "Moscow", _born(1983), "lead", "aid safe drive")
LAPSING_LEAD = Somebody("Hollis Nakamura", "Garfield", _born(1988), "lead", "safe drive")
DATA_COLLECTOR = Somebody("Mina Sato", "Pullman", _born(1990), "data", "safe")
VOLUNTEER = Somebody("Bea Lindqvist", "Moscow", _born(1995), "crew")
GUARDIAN = Somebody("Keiko Marsh", "Pullman", _born(1979), "data", "aid safe")
MINOR = Somebody("Teo Marsh", "Pullman", _born(2011, 2, 3), "crew")
LAPSED_PAPER = Somebody("Otis Krall", "Colfax", _born(1968), "crew", "old_release")
SUSPENDED = Somebody("Nell Abara", "Cheney", _born(1985), "lead", "aid")
DUNES_LEAD = Somebody("Ingrid Baptiste", "Nampa", _born(1980), "lead", "aid drive safe")
DUNES_DATA = Somebody("Noor Aziz", "Boise", _born(1992), "data", "safe")

PEOPLE = (
    COORDINATOR, REGIONAL, DUTY, STAND_IN, LEAD, LAPSING_LEAD, DATA_COLLECTOR, VOLUNTEER, GUARDIAN,
    MINOR, LAPSED_PAPER, SUSPENDED, DUNES_LEAD, DUNES_DATA,
    Somebody("Wren Halvorsen", "Colfax", _born(1974), "lead", "aid"),
    Somebody("Priya Raman", "Cheney", _born(1986), "lead", "aid safe"),
    Somebody("Lou Delacroix", "Lewiston", _born(1969), "lead", "aid drive"),
    Somebody("Sam Okonkwo", "Marsing", _born(1991), "lead", "aid"),
    Somebody("Omar Haddad", "Moscow", _born(1987), "data", "safe"),
    Somebody("Arlo Finch", "Cheney", _born(1998), "data"),
    Somebody("Selma Ortiz", "Caldwell", _born(1984), "data", "aid"),
    Somebody("Juno Weiss", "Boise", _born(2000), "data"),
    Somebody("Pavel Dvorak", "Pullman", _born(1962), "crew", "aid"),
    Somebody("Rosa Iniguez", "Lewiston", _born(1993), "crew"),
    Somebody("Theo Lund", "Colfax", _born(1997), "crew"),
    Somebody("Vic Hanley", "Cheney", _born(1958), "crew", "drive"),
    Somebody("Mae Tran", "Moscow", _born(2002), "crew"),
    Somebody("Cal Thibodeaux", "Garfield", _born(1966), "crew"),
    Somebody("Yolanda Pruitt", "Pullman", _born(1973), "crew", "aid safe"),
    Somebody("Tomás Quintero", "Nampa", _born(1989), "crew", "drive"),
    Somebody("Dara Whitlow", "Murphy", _born(1977), "crew", "aid"),
    Somebody("Gus Pettersen", "Caldwell", _born(1956), "crew"),
    Somebody("Fern Castellan", "Boise", _born(1999), "crew"),
    Somebody("Ravi Menon", "Moscow", _born(1994), "started"),
    Somebody("Ivo Brandt", "Pullman", _born(1981), "started"),
    Somebody("June Adeyemi", "Boise", _born(2001), "started"),
    Somebody("Lena Osei", "Caldwell", _born(1996), "started"),
    Somebody("Abel Thorne", "Lewiston", _born(1970)),
    Somebody("Sunniva Roe", "Yakima", _born(2003)),
    Somebody("Kit Barrow", "Nampa", _born(1998)),
)  # fmt: skip
"""Forty people; Teo Marsh is 16."""
