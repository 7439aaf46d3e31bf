"""The air outside the bag: the standard atmosphere, and the day's pressure at a field.

standard_pressure(Quantity(5000 ft)) -> 24.896 inHg · day_pressure(Quantity(30.10 inHg), Quantity(5000 ft))

US Standard Atmosphere 1976, identical to ICAO's to 32 km. Its tables run by geopotential height, as
aviation's do; `Height.GEOMETRIC` converts a surveyed height first (0.13 hPa of difference at 10,000 ft).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import exp, log

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, of_kind, quantity
from plytally.core.shop.errors import NotPossible, OutOfRange
from plytally.core.shop.sources import ATMOSPHERE, MEMORY, OURS
from plytally.core.shop.worked import Formula, Value, Worked

GRAVITY = 9.80665
GAS = 8314.32 / 28.9644  # J/(kg·K), from the table's gas constant and molar mass of air
EARTH = 6_356_766.0  # m, the radius that the table uses
_LOWEST, _HIGHEST = -5000.0, 20_000.0
_READS = (parse_quantity("25 inHg"), parse_quantity("33 inHg"))

STANDARD = Formula(
    "standard air pressure",
    "p = pb · (Tb / (Tb + L·(H − Hb)))^(g₀/(R·L)), or pb · exp(−g₀·(H − Hb)/(R·Tb)) where L = 0",
    ATMOSPHERE,
    "The day's weather moves it by an inch of mercury or so: ask for the altimeter setting.",
)
GEOPOTENTIAL = Formula("geopotential height", "H = r·Z / (r + Z), r = 6,356,766 m", ATMOSPHERE, "")
PRESSURE_HEIGHT = Formula(
    "standard height of this pressure", "the standard pressure, solved for H", ATMOSPHERE, ""
)
DAY = Formula(
    "the day's air pressure",
    "the standard pressure at elevation + standard height of the altimeter setting",
    f"{ATMOSPHERE}; {OURS}: an altimeter set to the setting shows the field's elevation",
    "Weather reports give it reduced to sea level: never take that figure for the pressure at the field.",
)


class Height(Enum):
    """How a height is measured."""

    GEOPOTENTIAL = "geopotential"
    GEOMETRIC = "geometric"


@dataclass(frozen=True)
class _Layer:
    base: float
    temperature: float
    lapse: float
    pressure: float

    def pressure_at(self, height: float) -> float:
        rise = height - self.base
        if not self.lapse:
            return self.pressure * exp(-GRAVITY * rise / (GAS * self.temperature))
        warm = self.temperature / (self.temperature + self.lapse * rise)
        return float(self.pressure * warm ** (GRAVITY / (GAS * self.lapse)))

    def height_of(self, pressure: float) -> float:
        ratio = log(self.pressure / pressure)
        if not self.lapse:
            return self.base + ratio * GAS * self.temperature / GRAVITY
        warm = exp(-ratio * GAS * self.lapse / GRAVITY)
        return self.base + self.temperature * (1 / warm - 1) / self.lapse


_LOW = _Layer(0.0, 288.15, -0.0065, 101_325.0)
_HIGH = _Layer(11_000.0, 216.65, 0.0, _LOW.pressure_at(11_000.0))


def standard_pressure(height: Quantity, by: Height = Height.GEOPOTENTIAL) -> Worked[Quantity]:
    """Standard pressure at a height above the sea, in inHg. OutOfRange outside −5 to 20 km."""
    told: dict[str, Value] = {f"{by.value} height": height}
    return STANDARD.gives(quantity(_pressure(_metres(height, by)), "inHg"), told)


def geopotential(height: Quantity) -> Worked[Quantity]:
    """Geopotential height of a geometric one, in its unit."""
    metres = _metres(height, Height.GEOMETRIC)
    return GEOPOTENTIAL.gives(quantity(metres, height.unit.symbol), {"geometric height": height})


def pressure_height(pressure: Quantity) -> Worked[Quantity]:
    """The standard atmosphere's geopotential height for an absolute pressure, in feet."""
    return PRESSURE_HEIGHT.gives(quantity(_height(pressure), "ft"), {"pressure": pressure})


def day_pressure(altimeter: Quantity, elevation: Quantity) -> Worked[Quantity]:
    """Air pressure at a field, in inHg, from its altimeter setting and elevation.

    NotPossible for a setting that no weather report carries: outside 25 to 33 inHg (from memory).
    """
    setting = above_zero(altimeter, "altimeter setting", Dimension.PRESSURE)
    if not _READS[0].si() <= setting <= _READS[1].si():
        raise NotPossible(
            "altimeter setting",
            altimeter,
            f"weather reports carry {_READS[0]} to {_READS[1]} ({MEMORY}); is it the pressure at the field?",
        )
    metres = _metres(elevation, Height.GEOPOTENTIAL) + _height(altimeter)
    told: dict[str, Value] = {"altimeter setting": altimeter, "elevation": elevation}
    return DAY.gives(quantity(_pressure(_inside(metres, elevation)), "inHg"), told)


def _metres(height: Quantity, by: Height) -> float:
    metres = float(of_kind(height, "height", Dimension.LENGTH))
    if by is Height.GEOMETRIC and metres > -EARTH / 2:
        metres = EARTH * metres / (EARTH + metres)
    return _inside(metres, height)


def _inside(metres: float, height: Quantity) -> float:
    if not _LOWEST <= metres <= _HIGHEST:
        raise OutOfRange("height", height, "give a height from -16000 to 65000 ft (-5 to 20 km)")
    return metres


def _pressure(metres: float) -> float:
    return (_LOW if metres <= _HIGH.base else _HIGH).pressure_at(metres)


def _height(pressure: Quantity) -> float:
    pascals = float(above_zero(pressure, "pressure", Dimension.PRESSURE))
    metres = (_LOW if pascals >= _HIGH.pressure else _HIGH).height_of(pascals)
    if not _LOWEST <= metres <= _HIGHEST:
        raise OutOfRange("pressure", pressure, "give an absolute pressure from 1.6 to 52 inHg")
    return metres
