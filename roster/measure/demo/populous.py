"""More invented people, as many as wanted, the same each time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice
from random import Random

from roster.domain.import_columns import ImportKind
from roster.domain.people import Actor
from roster.measure.demo import course
from roster.measure.demo.people import TOWNS
from roster.measure.demo.sheets import people_sheet, steps_sheet
from roster.services import demo, exchange
from roster.services.paper_stack import record_stack

PART = 1000

SEED = 2027
LEVELS = ("none", "started", "crew", "data", "lead")
WEIGHTS = (10, 20, 45, 17, 8)
GIVEN_NAMES = (
    "Ada Amos Anya Asa Beatriz Bram Cleo Cyrus Dagny Darius Delia Edda Elio Emil Esme Farid Flora "
    "Gideon Greta Hana Hugo Ida Ilse Imran Ines Ira Ivo Jonah Joss Kaya Kirin Lars Leda Lena "
    "Linus Mara Milo Mirza Nadia Neil Nils Noa Odile Orla Oskar Pia Quinn Rafe Reza Runa Sana "
    "Silas Sven Tamsin Tariq Thea Tove Ulla Vera Viggo Wanda Willa Xenia Yara Yusuf Zeno Zora"
)
FAMILY_NAMES = (
    "Aldous Amari Barlow Bexley Bright Calder Cardew Castell Chidi Crane Dahl Danner Darby Ekholm "
    "Ellery Farrow Fenn Ferro Frost Galt Garrick Gray Halden Hask Holloway Hurst Ibarra Ito "
    "Jansen Juarez Kade Keller Kimura Lacey Larkin Lind Locke Marlow Mbeki Mercer Moss Nadir Nash "
    "Ngo Norling Oakes Odell Okafor Ostrom Pace Paz Penrose Quill Rask Reeve Rowan Sato Sharma "
    "Sloane Sorel Stone Tahir Tarn Thorne Udo Vance Varga Vick Wells Wick Wren Yates Yoon Zabel"
)


@dataclass(frozen=True)
class Extra:
    """One more person."""

    name: str
    address: str
    born_on: date
    postcode: str
    place: tuple[float, float]
    level: str
    marks: str
    phone: str = ""
    household: str = ""


def extras(count: int) -> Iterator[Extra]:
    """So many people; the first ones are the same whatever the count is."""
    chance = Random(SEED)  # noqa: S311 - invented people, the same each time
    towns = [place for town, place in TOWNS.items() if town != "Yakima"]
    given, family = GIVEN_NAMES.split(), FAMILY_NAMES.split()
    for number in range(1, count + 1):
        first, last = chance.choice(given), chance.choice(family)
        lat, lon, postcode = chance.choice(towns)
        born = date(1950, 1, 1) + timedelta(days=chance.randrange(20_000))
        level = chance.choices(LEVELS, WEIGHTS)[0]
        yield Extra(
            f"{first} {last}",
            f"{first}.{last}.{number}@example.org".lower(),
            born,
            postcode,
            (round(lat + chance.uniform(-0.3, 0.3), 4), round(lon + chance.uniform(-0.3, 0.3), 4)),
            level,
            "aid" if level == "lead" or chance.random() < 0.15 else "",
        )


def take_on_more(actor: Actor, forms: Mapping[str, int], count: int) -> Iterator[int]:
    """Take on so many more, a thousand at a time; tells after each how many there are so far.

    By two spreadsheets and two stacks of papers for each thousand, as an office would.
    """
    everybody = extras(count)
    done = 0
    while part := list(islice(everybody, PART)):
        batch = exchange.take_in(actor, ImportKind.PEOPLE, f"more-{done}.csv", people_sheet(part))
        exchange.take_in(actor, ImportKind.COMPLETIONS, f"steps-{done}.csv", steps_sheet(part))
        pairs = zip(part, demo.numbers_of_batch(batch), strict=True)
        signed = {n: course.SIGNED_ON for one, n in pairs if one.level not in ("none", "started")}
        for code in ("release", "agreement-north"):
            record_stack(actor, forms[code], signed)
        done += len(part)
        yield done
