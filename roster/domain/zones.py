"""Seed zones: the published label, and the bands that it names."""

from __future__ import annotations

import re
from dataclasses import dataclass

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason


@dataclass(frozen=True)
class Band:
    """One half of a seed zone label; None is an open end ("< 2", "> 55")."""

    low: int | None
    high: int | None

    def __str__(self) -> str:
        if self.low is None:
            return f"< {self.high}"
        return f"> {self.low}" if self.high is None else f"{self.low} - {self.high}"


_BAND = r"(?:(?P<{0}low>\d+) - (?P<{0}high>\d+)|< (?P<{0}below>\d+)|> (?P<{0}above>\d+))"
_LABEL = re.compile(_BAND.format("t") + r" Deg\. F\. / " + _BAND.format("m"))
_TEMPERATURE_NAMES: dict[tuple[int | None, int | None], str] = {
    (0, 5): "very_cold",
    (5, 10): "cold",
    (10, 15): "cool",
    (15, 20): "warm",
    (20, 25): "very_warm",
}
_MOISTURE_NAMES: dict[tuple[int | None, int | None], str] = {
    (2, 3): "humid",
    (3, 6): "semi_humid",
    (6, 12): "semi_arid",
    (12, 30): "arid",
}


def zone_bands(label: str) -> tuple[Band, Band] | None:
    """The two bands of a published provisional zone label, or None for a label of another kind.

    Winter minimum temperature in degrees Fahrenheit and heat:moisture index, as in
    "20 - 25 Deg. F. / 3 - 6" (Bower, St. Clair and Erickson 2014, Ecol. Appl. 24:913-919).
    A zone is never worked out from weather: the published label is stored.
    """
    found = _LABEL.fullmatch(label)
    if found is None:
        return None

    def band(half: str) -> Band:
        low = found[half + "low"] or found[half + "above"]
        high = found[half + "high"] or found[half + "below"]
        return Band(int(low) if low else None, int(high) if high else None)

    return band("t"), band("m")


@dataclass(frozen=True)
class Zone:
    """A seed zone: where seed may be moved and pooled. `label` is exactly what was published."""

    label: str
    kind: str = "provisional"
    source: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        if not self.label.strip():
            raise BadInput("label", self.label, Reason("zone_label_empty"))

    @property
    def temperature(self) -> Band | None:
        """Winter minimum temperature band in degrees Fahrenheit, where the label tells it."""
        bands = zone_bands(self.label)
        return bands[0] if bands else None

    @property
    def moisture(self) -> Band | None:
        """Heat:moisture band, where the label tells it."""
        bands = zone_bands(self.label)
        return bands[1] if bands else None

    @property
    def informal_names(self) -> tuple[str | None, str | None]:
        """Code words such as very_warm and semi_humid; None where no name was seen in print."""
        bands = zone_bands(self.label)
        if bands is None:
            return (None, None)
        temperature, moisture = ((b.low, b.high) for b in bands)
        return (_TEMPERATURE_NAMES.get(temperature), _MOISTURE_NAMES.get(moisture))
