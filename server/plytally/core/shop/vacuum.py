"""Vacuum in a bag: on the gauge and absolute, how hard it clamps, and the most that is possible here.

A gauge shows how far the bag is below the air around it, so no gauge can show more than there is air:
reachable(Quantity(22 inHg), air=standard_pressure(9000 ft)) -> not possible here, 21.4 inHg at most.
Vacuum on the gauge is given as a positive amount.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, of_kind, quantity, zero_or_more
from plytally.core.shop.atmosphere import pressure_height
from plytally.core.shop.cautions import BAG, GAUGE
from plytally.core.shop.errors import NotPossible
from plytally.core.shop.sources import AC43, ARMY, ATMOSPHERE, NIST, OURS, RESIN_MAKER
from plytally.core.shop.worked import Formula, Worked

PERFECT = parse_quantity("0 inHg")
_USUAL_MOST = parse_quantity("120 kPa")

ABSOLUTE = Formula("absolute pressure in the bag", "p = air − gauge", OURS, GAUGE)
ON_GAUGE = Formula("vacuum on the gauge", "gauge = air − p", OURS, GAUGE)
MOST = Formula("the most that a gauge can show here", "air − what the pump leaves in the bag", OURS, GAUGE)
CLAMPING = Formula("pressure on the part", "the vacuum on the gauge, in units of pressure", NIST, BAG)
FORCE = Formula("force on the part", "F = vacuum on the gauge · area", f"{NIST}; {ARMY}, p.171", BAG)
HIGHEST = Formula(
    "highest field where the gauge can show it",
    "standard height of that pressure, on a standard day, with a perfect pump",
    ATMOSPHERE,
    GAUGE,
)


@dataclass(frozen=True)
class Least:
    """The least vacuum that somebody asks for, and who."""

    gauge: Quantity
    source: str


LEAST: Mapping[str, Least] = {
    "repair": Least(parse_quantity("22 inHg"), f"{AC43}, p.3-8: vacuum bag of a repair"),
    "no data": Least(parse_quantity("20 inHg"), f"{ARMY}: where no data say otherwise"),
    "consolidate": Least(parse_quantity("10 inHg"), f"{RESIN_MAKER}: to consolidate a laminate"),
}


@dataclass(frozen=True)
class Clamping:
    """How hard a vacuum clamps: pressure in psi, force in lbf."""

    pressure: Worked[Quantity]
    force: Worked[Quantity]


@dataclass(frozen=True)
class Reachable:
    """Whether a gauge can show so much here, the most it can, and how high a field allows it."""

    possible: bool
    most: Worked[Quantity]
    highest: Worked[Quantity]
    told: str


def absolute_pressure(gauge: Quantity, air: Quantity) -> Worked[Quantity]:
    """Absolute pressure in the bag, in the gauge's unit. NotPossible for more vacuum than there is air."""
    inside = _air(air) - zero_or_more(gauge, "vacuum on the gauge", Dimension.PRESSURE)
    if inside < 0:
        raise NotPossible(
            "vacuum on the gauge", gauge, f"there is only {air} of air here; check gauge, unit and elevation"
        )
    return ABSOLUTE.gives(quantity(inside, gauge.unit.symbol), {"gauge": gauge, "air": air})


def gauge_vacuum(absolute: Quantity, air: Quantity) -> Worked[Quantity]:
    """Vacuum on the gauge, in the unit of `absolute`. NotPossible where the bag has more than the air."""
    vacuum = _air(air) - zero_or_more(absolute, "absolute pressure", Dimension.PRESSURE)
    if vacuum < 0:
        raise NotPossible("absolute pressure", absolute, f"it is over the air's {air}: that is no vacuum")
    return ON_GAUGE.gives(quantity(vacuum, absolute.unit.symbol), {"absolute": absolute, "air": air})


def most_vacuum(air: Quantity, pump_leaves: Quantity = PERFECT) -> Worked[Quantity]:
    """The most that a gauge can show, in the unit of `air`; `pump_leaves` is absolute.

    NotPossible where the pump would leave more than the air's own pressure.
    """
    left = zero_or_more(pump_leaves, "pressure the pump leaves", Dimension.PRESSURE)
    if left > _air(air):
        raise NotPossible("pressure the pump leaves", pump_leaves, f"it is over the air's {air}")
    return MOST.gives(quantity(_air(air) - left, air.unit.symbol), {"air": air, "pump leaves": pump_leaves})


def reachable(wanted: Quantity, air: Quantity, pump_leaves: Quantity = PERFECT) -> Reachable:
    """Tell whether the gauge can show `wanted` in this air."""
    gauge = above_zero(wanted, "vacuum wanted", Dimension.PRESSURE)
    most = most_vacuum(air, pump_leaves)
    possible = gauge <= _air(air) - of_kind(pump_leaves, "pressure the pump leaves", Dimension.PRESSURE)
    needed = quantity(gauge + pump_leaves.si(), wanted.unit.symbol)
    highest = HIGHEST.gives(pressure_height(needed).value, {"vacuum": wanted, "pump leaves": pump_leaves})
    verdict = f"{wanted} is possible here" if possible else f"{wanted} is not possible here"
    return Reachable(possible, most, highest, f"{verdict}: the gauge can show {most.shown} at most")


def clamping(gauge: Quantity, area: Quantity, air: Quantity | None = None) -> Clamping:
    """How hard a vacuum clamps an area. NotPossible for more vacuum than the air given, or any air, has."""
    pressure, vacuum = pressing(gauge, air), gauge.si()
    size = above_zero(area, "area", Dimension.AREA)
    force = quantity(vacuum * size, "lbf")
    return Clamping(pressure, FORCE.gives(force, {"gauge": gauge, "area": area}))


def pressing(gauge: Quantity, air: Quantity | None = None) -> Worked[Quantity]:
    """Pressure on the part, in psi. NotPossible for more vacuum than the air given, or any air, has."""
    vacuum = above_zero(gauge, "vacuum on the gauge", Dimension.PRESSURE)
    absolute_pressure(gauge, air or _USUAL_MOST)
    return CLAMPING.gives(quantity(vacuum, "psi"), {"gauge": gauge})


def enough(gauge: Quantity, least: Least) -> bool:
    """Tell whether a vacuum is at least what somebody asks for."""
    return zero_or_more(gauge, "vacuum on the gauge", Dimension.PRESSURE) >= least.gauge.si()


def _air(air: Quantity) -> Fraction:
    return above_zero(air, "air pressure", Dimension.PRESSURE)
