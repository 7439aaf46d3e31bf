"""Cards about the air around a bag: its pressure here, the vacuum that it allows, and how that presses."""

from __future__ import annotations

from typing import Any

from plytally.core.cards.card import Ask, Card, CardError, Holds, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.atmosphere import Height, day_pressure, standard_pressure
from plytally.core.shop.vacuum import (
    LEAST,
    PERFECT,
    absolute_pressure,
    clamping,
    enough,
    gauge_vacuum,
    pressing,
    reachable,
)
from plytally.core.shop.worked import Worked

AIR_ASKS = (
    Ask("elevation", "Elevation of the shop", Dimension.LENGTH, units=("ft", "m"), usual="0 ft", signed=True),
    Ask(
        "altimeter",
        "Altimeter setting of the day",
        Dimension.PRESSURE,
        "The day's altimeter setting; else a standard day.",
        units=("inHg", "hPa"),
        rare=True,
    ),
)
PUMP_LEAVES = Ask(
    "pump_leaves",
    "Pressure that the pump leaves",
    Dimension.PRESSURE,
    "Absolute.",
    str(PERFECT),
    rare=True,
)


def here(elevation: Quantity, altimeter: Quantity | None) -> Worked[Quantity]:
    """The air around the bag, by elevation, and the day's altimeter setting if there is one."""
    return day_pressure(altimeter, elevation) if altimeter else standard_pressure(elevation)


def air(elevation: Quantity, altimeter: Quantity | None, geometric: bool) -> Told:
    """The pressure of the air at a field, on a standard day or by the day's altimeter setting.

    CardError where both a geometric elevation and an altimeter setting are given.
    """
    if geometric and altimeter:
        raise CardError("", "a geometric elevation goes without an altimeter setting")
    return [standard_pressure(elevation, Height.GEOMETRIC) if geometric else here(elevation, altimeter)]


def vacuum(
    gauge: Quantity,
    elevation: Quantity,
    altimeter: Quantity | None,
    pump_leaves: Quantity,
    area: Quantity | None,
    absolute: bool,
) -> Told:
    """Whether a vacuum is possible here, and if so how it presses; who asks for how much."""
    around = here(elevation, altimeter)
    below = gauge_vacuum(gauge, around.value) if absolute else None
    gauge = below.value if below else gauge
    found = reachable(gauge, around.value, pump_leaves)
    told: list[Any] = [found.told, *([below] if below else []), around, found]
    if not found.possible:
        return told
    told += [
        f"{'enough' if enough(gauge, least) else 'NOT ENOUGH'}: {least.gauge} ({least.source})"
        for least in LEAST.values()
    ]
    return [
        *told,
        absolute_pressure(gauge, around.value),
        clamping(gauge, area, around.value) if area else pressing(gauge, around.value),
    ]


VACUUM = (
    Card(
        "vacuum",
        "Vacuum here, and what it presses with",
        "Vacuum",
        "Whether a vacuum is possible here, and if so how it presses; who asks for how much.",
        'vacuum "22 inHg" --elevation "5000 ft" --area "240 in2"',
        (
            Ask("gauge", "Vacuum on the gauge", Dimension.PRESSURE, needed=True, first=True),
            *AIR_ASKS,
            PUMP_LEAVES,
            Ask("area", "On an area", Dimension.AREA, "Then also the force on this area."),
            Ask(
                "absolute",
                "The gauge reads absolute pressure",
                Holds.YES,
                "What is given is the absolute pressure in the bag.",
                rare=True,
            ),
        ),
        vacuum,
    ),
)
AIR = (
    Card(
        "air",
        "Pressure of the air here",
        "Vacuum",
        "The pressure of the air at a field, on a standard day or by the day's altimeter setting.",
        'air --elevation "5000 ft" --altimeter "30.10 inHg"',
        (
            *AIR_ASKS,
            Ask(
                "geometric",
                "The elevation is surveyed",
                Holds.YES,
                "The elevation is geometric; without an altimeter setting.",
                rare=True,
            ),
        ),
        air,
    ),
)
