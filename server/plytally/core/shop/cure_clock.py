"""The running clock of a pot or a cure, from the temperatures logged on the way.

Each stretch of time counts by the speed that its temperature gives: share done = ∫ dt / time(T). The
temperature runs straight between readings, the last one holds until now; the integral is exact for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, expm1

from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import kelvins, of_kind, quantity, zero_or_more
from plytally.core.shop.cautions import CURE, POT
from plytally.core.shop.cure import Timed
from plytally.core.shop.errors import OutOfRange, TooFew
from plytally.core.shop.sources import OURS
from plytally.core.shop.worked import Formula, Value, Worked

SHARE = Formula(
    "share done",
    "Σ time passed / time it takes at its temperature",
    f"{OURS}, from the maker's time and the rate factor",
    f"Between readings the temperature is taken to run straight. {POT} {CURE}",
)
EQUIVALENT = Formula(
    "the same as this long at the maker's temperature", "share done · maker's time", OURS, CURE
)
LEFT = Formula("left at the last temperature", "(1 − share done) · time at the last temperature", OURS, CURE)


@dataclass(frozen=True)
class Reading:
    """A temperature, so long after mixing was complete."""

    after: Quantity
    temperature: Quantity


@dataclass(frozen=True)
class Clock:
    """How far a pot or a cure has come, and what is left of it; nothing is left from 100 % on."""

    share: Worked[Quantity]
    equivalent: Worked[Quantity]
    left: Worked[Quantity] | None


def run_clock(
    maker: Timed, readings: Sequence[Reading], now: Quantity, stops_below: Quantity | None = None
) -> Clock:
    """How far it has come by `now` after mixing.

    Before the first reading its temperature counts. Below `stops_below` (the maker's lowest temperature of
    cure) nothing counts; leave it away for a pot life. `left` is None where it stands still. ShopError if
    readings do not follow each other in time, or `now` is before the last of them.
    """
    track = _track(readings, now)
    floor = kelvins(stops_below, "lowest temperature of cure") if stops_below else 0.0
    done = sum(_stretch(maker, start, end, floor) for start, end in pairwise(track))
    told: dict[str, Value] = {"readings": len(readings), "now": now, "last": readings[-1].temperature}
    told |= {f"maker's {maker.what} at {row.temperature}": row.time for row in maker.rows}
    told |= {"stands still below": stops_below} if stops_below else {}
    first = maker.rows[0]
    percent, same = quantity(done, "%"), quantity(done * float(first.time.si()), first.time.unit.symbol)
    return Clock(
        SHARE.gives(percent, told, f"share of the {maker.what} used"),
        EQUIVALENT.gives(same, {"share done": percent, f"{maker.what} at {first.temperature}": first.time}),
        _left(maker, done, readings[-1].temperature, floor),
    )


def _left(maker: Timed, done: float, temperature: Quantity, floor: float) -> Worked[Quantity] | None:
    last = kelvins(temperature, "temperature")
    if last < floor:
        return None
    seconds = max(0.0, 1 - done) * exp(maker.log_time(last))
    told: dict[str, Value] = {"share done": quantity(done, "%"), "last temperature": temperature}
    return LEFT.gives(quantity(seconds, maker.rows[0].time.unit.symbol), told, f"{maker.what} left")


def _track(readings: Sequence[Reading], now: Quantity) -> list[tuple[float, float]]:
    """Seconds and kelvins, from mixing to now."""
    if not readings:
        raise TooFew("temperature log", "no reading", "give at least one temperature")
    track = [
        (
            float(zero_or_more(reading.after, "time of a reading", Dimension.TIME)),
            kelvins(reading.temperature, "temperature"),
        )
        for reading in readings
    ]
    for (before, _), (after, _) in pairwise(track):
        if after <= before:
            raise OutOfRange("temperature log", "two readings out of order", "list them as they were taken")
    end = float(of_kind(now, "now", Dimension.TIME))
    if end < track[-1][0]:
        raise OutOfRange("now", now, f"it is before the last reading, at {readings[-1].after}")
    return [(0.0, track[0][1]), *track, (end, track[-1][1])]


def _stretch(maker: Timed, start: tuple[float, float], end: tuple[float, float], floor: float) -> float:
    """The share that one stretch between two readings is worth."""
    return sum(
        _piece(maker, one, other)
        for one, other in pairwise(_cut(maker, start, end, floor))
        if max(one[1], other[1]) > floor or one[1] == floor == other[1]
    )


def _cut(
    maker: Timed, start: tuple[float, float], end: tuple[float, float], floor: float
) -> Iterator[tuple[float, float]]:
    """The stretch, cut where its temperature crosses a row of the table or the lowest temperature."""
    (begun, cold), (over, warm) = start, end
    low, high = min(cold, warm), max(cold, warm)
    inside = [mark for mark in (floor, *(knot for knot, _ in maker.knots)) if low < mark < high]
    marks = sorted(inside, reverse=warm < cold)
    yield start
    for mark in marks:
        yield begun + (over - begun) * (mark - cold) / (warm - cold), mark
    yield end


def _piece(maker: Timed, start: tuple[float, float], end: tuple[float, float]) -> float:
    """∫ dt / time where ln(time) runs straight from one end to the other: closed form."""
    speed, change = exp(-maker.log_time(start[1])), maker.log_time(start[1]) - maker.log_time(end[1])
    grown = expm1(change) / change if change else 1.0
    return (end[0] - start[0]) * speed * grown
