"""Invented sites in real country: two regions in two time zones, real species with their sources.

Ripe days are those of the reference place; populations shift them by height and latitude.
"""

from __future__ import annotations

from dataclasses import dataclass

PROGRAMME = "Lantern and Quill seed programme"
HOME_ZONE = "America/Los_Angeles"
REFERENCE = (46.73, -117.17, 2500.0)
"""Near Pullman, where several of the calendars' sources collected."""

REGIONS = (
    ("PAL", "Palouse", "America/Los_Angeles", "990 991 992 835 838"),
    ("OWY", "Owyhee Front", "America/Boise", "836 837 979"),
)

ZONES = ("15 - 20 Deg. F. / 3 - 6", "15 - 20 Deg. F. / 6 - 12", "20 - 25 Deg. F. / 6 - 12")
ZONE_SOURCE = "Bower, St. Clair and Erickson 2014, Ecological Applications 24:913-919"

ECOREGIONS = (("10", "Columbia Plateau"), ("12", "Snake River Plain"))


@dataclass(frozen=True)
class Species:
    """A real plant: `ripe_doy` at the reference place; days it holds its seed are our default."""

    code: str
    name: str
    common_name: str
    release_type: str
    hold_days: int
    ripe_doy: int
    sd_days: float
    source: str
    look_alike: str | None = None


_NPN = "NPN propagation protocol, NRCS Pullman PMC; day of the year is ours"
SPECIES = (
    Species("BASA3", "Balsamorhiza sagittata", "arrowleaf balsamroot", "head, holds its seed",
            10, 156, 5, _NPN),
    Species("POSE", "Poa secunda", "Sandberg bluegrass", "grass, shatters", 10, 164, 4,
            "from memory"),
    Species("MINU", "Microseris nutans", "nodding microseris", "pappus", 5, 158, 3, _NPN),
    Species("LOTR2", "Lomatium triternatum", "nineleaf biscuitroot", "dry umbel", 7, 184, 5, _NPN,
            "water hemlock and poison hemlock: the lead names every plant of the carrot family"),
    Species("PSSPS", "Pseudoroegneria spicata", "bluebunch wheatgrass", "grass, shatters", 10, 190,
            6, "NPN propagation protocol; day of the year is ours"),
    Species("GETRC2", "Geum triflorum var. ciliatum", "prairie smoke", "plume", 21, 170, 6, _NPN),
    Species("PEAC2", "Penstemon acuminatus", "sharpleaf penstemon", "capsule", 14, 172, 5,
            "NPN propagation protocol, USFS RMRS: bloom and 5 to 8 weeks"),
    Species("ACHY", "Achnatherum hymenoides", "Indian ricegrass", "grass, shatters", 7, 178, 4,
            "from memory"),
    Species("ERUM", "Eriogonum umbellatum", "sulphur-flower buckwheat", "holds its seed", 21, 192,
            8, "NPN propagation protocol; day of the year is ours"),
)  # fmt: skip


@dataclass(frozen=True)
class Place:
    """An invented site; populations are (species code, name, zone label, ecoregion, plants)."""

    key: str
    name: str
    region: str
    lat: float
    lon: float
    elevation_ft: float
    time_zone: str
    state: str
    meeting: str
    access: str
    minutes_to_signal: int
    hospital: str
    hospital_minutes: int
    manager: str
    effort: str
    hazards: tuple[tuple[str, str], ...]
    populations: tuple[tuple[str, str, str, str], ...]
    people: int = 12
    vehicles: int = 4


_PULLMAN = "Pullman, emergency room"
_SNAKES = ("snakes", "Rattlesnakes on the rock: look before you reach or sit.")
_TICKS = ("ticks", "Many until July: trousers in socks, look each other over at the cars.")
_SLOPE = ("slope", "Loose rock: nobody directly below another.")
SITES = (
    Place("marrow", "Marrow Butte", "PAL", 46.90, -117.05, 3300, "America/Los_Angeles", "WA",
          "Upper car park, Marrow Butte", "Gravel from the county road, four cars at the top", 10,
          _PULLMAN, 25, "Northern field office", "Steep, 1 mile on foot, no shade after 10:00",
          (_SLOPE, _TICKS, _SNAKES),
          (("BASA3", "south face", ZONES[0], "10"), ("GETRC2", "saddle", ZONES[0], "10"))),
    Place("cinder", "Cinder Canyon", "PAL", 46.65, -117.35, 1900, "America/Los_Angeles", "WA",
          "Gate at Cinder Canyon road", "Paved to the gate", 0, _PULLMAN, 35,
          "Northern field office", "Level, a quarter mile on foot",
          (_SNAKES, ("livestock", "Cattle graze here from July: keep gates as found.")),
          (("POSE", "lower bench", ZONES[1], "10"),)),
    Place("saddle", "Saddle Lake", "PAL", 47.20, -117.60, 2200, "America/Los_Angeles", "WA",
          "East shore car park, Saddle Lake", "Paved", 20, "Colfax, emergency room", 40,
          "Northern field office", "Rolling, half a mile on foot",
          (_TICKS, ("water", "Deep mud on the shore: stay on the path.")),
          (("MINU", "east shore", ZONES[1], "10"), ("LOTR2", "scab bench", ZONES[1], "10"))),
    Place("quill", "Quill Canyon", "PAL", 46.50, -117.20, 1400, "America/Los_Angeles", "WA",
          "Mouth of Quill Canyon", "Gravel, one ford, high clearance", 0, _PULLMAN, 45,
          "Northern field office", "Hot, 500 feet up", (_SLOPE, _SNAKES),
          (("PSSPS", "rim trail", ZONES[2], "10"),)),
    Place("hollow", "Hollow Dunes", "OWY", 43.25, -116.35, 2600, "America/Boise", "ID",
          "North fence, Hollow Dunes", "Sand track, stay on it", 0, "Nampa, emergency room", 50,
          "Southern field office", "Soft sand, no shade at all",
          (("traffic", "Quad bikes: bright vests, spotter at the track."), _SNAKES),
          (("PEAC2", "north fence", ZONES[2], "12"), ("ACHY", "north fence", ZONES[2], "12"))),
    Place("tinder", "Tinder Canyon rim", "OWY", 43.05, -116.75, 3800, "America/Boise", "ID",
          "Cattle guard above Tinder Canyon", "Gravel, 12 miles, no turning for trailers", 25,
          "Nampa, emergency room", 75, "Southern field office", "Rim walk, 2 miles",
          (_SLOPE, ("fire", "Dry grass: no driving or parking off the road.")),
          (("ERUM", "rim", ZONES[1], "12"), ("PSSPS", "rim", ZONES[1], "12")), 10, 3),
)  # fmt: skip
