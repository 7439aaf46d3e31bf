"""How a bag pumps down, and how it holds after the pump is off: curves to plot, and when a vacuum is reached.

A pump that moves S of volume in a minute empties a bag of volume V by 1/e in V/S; a leak holds it short of
the pump's best. After shut-off a leak that slows with the vacuum decays the gauge, one that keeps its pace
(as sharp leaks do while the vacuum is deep) empties it in a straight line: the sooner of the two is told too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, expm1, log

from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import above_zero, number_of, quantity, zero_or_more
from plytally.core.shop.cautions import GAUGE
from plytally.core.shop.errors import NotPossible
from plytally.core.shop.sources import MEMORY
from plytally.core.shop.vacuum import PERFECT, most_vacuum
from plytally.core.shop.worked import Formula, Value, Worked

_SOURCE = f"first-order flow out of a vessel ({MEMORY})"
_ROUGH = f"Breather, tube and wet resin slow it down: an estimate. {GAUGE}"

SETTLES = Formula("vacuum it settles at", "best of the pump − loss in a minute · V/S", _SOURCE, _ROUGH)
REACHES = Formula("reaches the vacuum after", "t = V/S · ln(settled / (settled − wanted))", _SOURCE, _ROUGH)
HOLDS = Formula(
    "falls to the vacuum after", "t = g₀/loss · ln(g₀ / g): the leak slows with the vacuum", _SOURCE, _ROUGH
)
SOONEST = Formula(
    "falls to it at the soonest after", "t = (g₀ − g) / loss: the leak keeps its pace", _SOURCE, _ROUGH
)


@dataclass(frozen=True)
class CurvePoint:
    """What the gauge shows at a time."""

    after: Quantity
    gauge: Quantity


@dataclass(frozen=True)
class PumpDown:
    """The curve of a bag that is pumped down, where it settles, and when it reaches the vacuum wanted."""

    points: tuple[CurvePoint, ...]
    settles: Worked[Quantity]
    reaches: Worked[Quantity]


@dataclass(frozen=True)
class Hold:
    """The curve of a bag whose pump is off, and when it falls to the vacuum wanted."""

    points: tuple[CurvePoint, ...]
    falls: Worked[Quantity]
    soonest: Worked[Quantity]


@dataclass(frozen=True)
class Pump:
    """The volume that a pump moves in a minute, and the absolute pressure that it can leave."""

    a_minute: Quantity
    leaves: Quantity = PERFECT


def pump_down(
    bag: Quantity, pump: Pump, air: Quantity, wanted: Quantity, loss: Quantity = PERFECT, points: int = 60
) -> PumpDown:
    """Pump a bag of this volume down. `loss` is what its gauge loses in a minute with the pump off.

    The curve covers twice the time to `wanted`. NotPossible where it settles short of that.
    """
    moved = above_zero(pump.a_minute, "volume pumped in a minute", Dimension.VOLUME)
    minutes = float(above_zero(bag, "volume of the bag", Dimension.VOLUME) / moved)
    lost = zero_or_more(loss, "loss in a minute", Dimension.PRESSURE)
    best = most_vacuum(air, pump.leaves).value
    settled = float(best.si()) - float(lost) * minutes
    told: dict[str, Value] = {"bag": bag, "pumped in a minute": pump.a_minute, "best of the pump": best}
    told |= {"loss in a minute": loss}
    goal = float(above_zero(wanted, "vacuum wanted", Dimension.PRESSURE))
    if goal >= settled:
        end = quantity(max(0.0, settled), wanted.unit.symbol)
        raise NotPossible(
            "vacuum wanted", wanted, f"this pump, bag and leak settle at {end}; stop the leak first"
        )
    time = minutes * log(settled / (settled - goal))
    return PumpDown(
        _curve(lambda t: settled * -expm1(-t / minutes), 2 * time, wanted, points),
        SETTLES.gives(quantity(settled, wanted.unit.symbol), told),
        REACHES.gives(quantity(time * 60, "min"), told | {"wanted": wanted}),
    )


def hold(start: Quantity, loss: Quantity, wanted: Quantity, points: int = 60) -> Hold:
    """Follow a bag after shut-off, from `start` until it has fallen to `wanted`.

    `loss` is what the gauge loses in the first minute. NotPossible where `wanted` is not below `start`.
    """
    begun = float(above_zero(start, "gauge at the start", Dimension.PRESSURE))
    lost = float(above_zero(loss, "loss in a minute", Dimension.PRESSURE))
    goal = float(above_zero(wanted, "vacuum wanted", Dimension.PRESSURE))
    if goal >= begun:
        raise NotPossible("vacuum wanted", wanted, f"the gauge starts at {start}; ask for less than that")
    minutes = begun / lost
    time = minutes * log(begun / goal)
    told: dict[str, Value] = {"gauge at the start": start, "loss in a minute": loss, "wanted": wanted}
    return Hold(
        _curve(lambda t: begun * exp(-t / minutes), time, start, points),
        HOLDS.gives(quantity(time * 60, "min"), told),
        SOONEST.gives(quantity((begun - goal) / lost * 60, "min"), told),
    )


def _curve(
    gauge: Callable[[float], float], minutes: float, like: Quantity, points: int
) -> tuple[CurvePoint, ...]:
    """Points at equal times from zero to `minutes`, ends included, in the unit of `like`."""
    steps = number_of(points, "points of the curve")
    times = [minutes * step / steps for step in range(steps + 1)]
    return tuple(
        CurvePoint(quantity(time * 60, "min"), quantity(gauge(time), like.unit.symbol)) for time in times
    )
