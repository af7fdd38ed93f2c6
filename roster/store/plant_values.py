"""Small frozen rows of species, populations and site checks."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from roster.domain.land import Plant, Population


@dataclass(frozen=True)
class TaxonRow:
    """A species."""

    id: int
    code: str
    name: str
    common_name: str
    release_type: str | None
    hold_days: int
    rare: int
    listed: int
    look_alike_poisonous: str | None


@dataclass(frozen=True)
class CalendarRow:
    """When a species is ripe at a reference place: day of year, spread, where, source."""

    ripe_doy: int
    sd_days: float
    lat: float
    lon: float
    elevation_ft: float
    source: str


@dataclass(frozen=True)
class PopulationRow:
    """A population with the names around it; `mean_day` and the rest are None without a window."""

    id: int
    name: str
    site: int
    site_name: str
    lat: float
    lon: float
    elevation_ft: float
    time_zone: str
    region: int
    taxon: int
    taxon_code: str
    taxon_name: str
    common_name: str
    listed: int
    rare: int
    taxon_hold_days: int
    zone: int
    zone_label: str
    ecoregion_number: str | None
    ecoregion_name: str | None
    size_class: str | None
    wild: int
    culturally_used: str | None
    whom_to_ask: str | None
    mean_day: date | None
    mean_part: float | None
    sd_days: float | None
    hold_days: int | None
    basis: str | None

    @property
    def title(self) -> str:
        """ "Arrowleaf balsamroot at Marrow Butte, south slope"."""
        plant = self.common_name or self.taxon_name
        return f"{plant}, {self.site_name}" + (f", {self.name}" if self.name else "")

    @property
    def population(self) -> Population:
        """The population as the rules know it, without its position."""
        ask = "" if not self.culturally_used else self.whom_to_ask or self.culturally_used
        return Population(
            self.id,
            self.title,
            self.site,
            Plant(self.taxon, self.taxon_name, bool(self.listed)),
            self.zone_label,
            self.ecoregion_name or "",
            bool(self.wild),
            ask,
        )


@dataclass(frozen=True)
class ObservationRow:
    """One site check of a population, with who looked."""

    id: int
    on: date
    share_immature: float | None
    share_ripe: float | None
    share_shed: float | None
    mean_day: date | None
    sd_days: float | None
    plants_at_dispersal: int | None
    by_name: str | None


@dataclass(frozen=True)
class PlantFilter:
    """Which populations a list shows: regions (None: all), season, part of a name."""

    regions: Collection[int] | None
    season: int | None
    search: str = ""
