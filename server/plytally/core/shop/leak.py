"""The drop test of a bag: readings of the gauge after the pump is shut off, and a verdict by a chosen limit.

"At most 1 inHg in 1 min" is held against the worst minute of the whole test, wherever it lies between the
readings; the gauge is taken to run straight from one to the next.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, quantity, zero_or_more
from plytally.core.shop.cautions import GAUGE
from plytally.core.shop.errors import NotPossible, OutOfRange, TooFew
from plytally.core.shop.line import least_squares
from plytally.core.shop.sources import ARMY, INFUSION, MEMORY, OURS
from plytally.core.shop.worked import Formula, Value, Worked

_MINUTE = Fraction(60)

TOTAL = Formula("lost over the test", "first reading − last reading", OURS, GAUGE)
RATE = Formula(
    "lost in a minute",
    "slope of the least-squares line through all readings",
    f"{OURS}; least squares ({MEMORY})",
    GAUGE,
)
WORST = Formula(
    "most lost in the time of the limit",
    "greatest gauge(t) − gauge(t + time), the gauge straight between readings",
    OURS,
    f"Shut the pump off and let the gauge settle first. {GAUGE}",
)


@dataclass(frozen=True)
class LeakLimit:
    """The most that a gauge may lose in a time; `strictly` where it must stay below that."""

    name: str
    drop: Quantity
    over: Quantity
    source: str
    strictly: bool = False

    def __str__(self) -> str:
        return f"{'less than' if self.strictly else 'at most'} {self.drop} in {self.over} ({self.source})"


LEAK_LIMITS: Mapping[str, LeakLimit] = {
    limit.name: limit
    for limit in (
        LeakLimit("bag", parse_quantity("1 inHg"), parse_quantity("1 min"), f"{ARMY}, p.172 and p.184"),
        LeakLimit(
            "inner bag", parse_quantity("5 inHg"), parse_quantity("5 min"), f"{ARMY}, p.319, inner bag of two"
        ),
        LeakLimit("infusion", parse_quantity("1 inHg"), parse_quantity("5 min"), INFUSION, strictly=True),
    )
}


@dataclass(frozen=True)
class GaugeReading:
    """What the gauge showed, so long after the pump was shut off."""

    after: Quantity
    gauge: Quantity


@dataclass(frozen=True)
class DropTest:
    """The verdict, and the losses it rests on, in the unit of the gauge."""

    passes: bool
    limit: LeakLimit
    worst: Worked[Quantity]
    rate: Worked[Quantity]
    total: Worked[Quantity]


def drop_test(readings: Sequence[GaugeReading], limit: LeakLimit, air: Quantity | None = None) -> DropTest:
    """Hold a drop test against a limit.

    TooFew where the test was shorter than the limit's time; OutOfRange for readings out of order;
    NotPossible for more vacuum than the air, if that is given.
    """
    track = _track(readings, air)
    over = above_zero(limit.over, "time of the limit", Dimension.TIME)
    if track[-1][0] - track[0][0] < over:
        lasted = quantity(track[-1][0] - track[0][0], limit.over.unit.symbol)
        raise TooFew("drop test", f"{lasted} of readings", f"this limit needs {limit.over}; keep reading")
    worst, lost = _worst(track, over), track[0][1] - track[-1][1]
    most = above_zero(limit.drop, "drop of the limit", Dimension.PRESSURE)
    unit, told = readings[0].gauge.unit.symbol, _told(readings)
    rose = "The gauge rose: was the pump off, did the shop cool? Test again." if lost < 0 else ""
    return DropTest(
        worst < most if limit.strictly else worst <= most,
        limit,
        WORST.gives(
            quantity(worst, unit), told | {"limit": str(limit)}, f"most lost in {limit.over}", caution=rose
        ),
        RATE.gives(quantity(-least_squares(track).slope * _MINUTE, unit), told),
        TOTAL.gives(quantity(lost, unit), told),
    )


def _track(readings: Sequence[GaugeReading], air: Quantity | None) -> list[tuple[Fraction, Fraction]]:
    """Seconds and pascals of vacuum."""
    if len(readings) < 2:
        raise TooFew("drop test", f"{len(readings)} reading(s)", "read the gauge at the start and later")
    for before, after in pairwise(readings):
        if after.after.si() <= before.after.si():
            raise OutOfRange(
                "drop test", f"{after.after} after {before.after}", "list readings as they were taken"
            )
    track = [
        (
            zero_or_more(reading.after, "time of a reading", Dimension.TIME),
            zero_or_more(reading.gauge, "gauge", Dimension.PRESSURE),
        )
        for reading in readings
    ]
    highest = max(gauge for _, gauge in track)
    if air and highest > above_zero(air, "air pressure", Dimension.PRESSURE):
        showed = quantity(highest, readings[0].gauge.unit.symbol)
        raise NotPossible("gauge", showed, f"there is only {air} of air here; check the gauge and its unit")
    return track


def _worst(track: list[tuple[Fraction, Fraction]], over: Fraction) -> Fraction:
    """The greatest loss over any stretch of that length: one of its ends is at a reading."""
    last = track[-1][0] - over
    starts = {time for time, _ in track} | {time - over for time, _ in track}
    inside = [start for start in starts if track[0][0] <= start <= last]
    return max(_gauge(track, start) - _gauge(track, start + over) for start in inside)


def _gauge(track: list[tuple[Fraction, Fraction]], time: Fraction) -> Fraction:
    (before, high), (after, low) = next(two for two in pairwise(track) if two[0][0] <= time <= two[1][0])
    return high + (low - high) * (time - before) / (after - before)


def _told(readings: Sequence[GaugeReading]) -> dict[str, Value]:
    return {f"at {reading.after}": reading.gauge for reading in readings}
