"""How straight a surface is, and what to take off or build up where.

Heights along a straight edge, or steps against the part beside it, at stations: straightness by least squares
and by minimum zone, then for each station out of the band how much it is off, in plies and in filler.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import floor

from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import above_zero, of_kind, quantity, zero_or_more
from plytally.core.shop.cautions import DECIDE, DUST, MEASURE
from plytally.core.shop.errors import TooFew
from plytally.core.shop.line import FLUSH, Line, Point, least_squares, narrowest, through_ends, zone
from plytally.core.shop.sources import MEMORY, OURS, STRAIGHT
from plytally.core.shop.worked import Formula, Value, Worked

BY_SQUARES = Formula(
    "straightness by least squares",
    "highest − lowest above h = a + b·x, with Σ(h − a − b·x)² least",
    f"{STRAIGHT}; least squares ({MEMORY})",
    f"The minimum zone is never wider. {DECIDE}",
)
BY_ZONE = Formula(
    "straightness by minimum zone",
    "the narrowest band between two parallel lines that holds every height",
    STRAIGHT,
    f"Only as good as the straight edge and the number of stations. {DECIDE}",
)
OFF = Formula("off the line", "h − a − b·x; positive is high", OURS, "")
TAKE_OFF = Formula("take off", "height above the line", OURS, DUST)
BUILD_UP = Formula("build up", "height below the line", OURS, MEASURE)
DEEP = Formula("plies deep", "take off / thickness per ply, rounded up", OURS, DUST)
PLIES = Formula("plies to build up", "build up / thickness per ply, rounded down", OURS, MEASURE)
FILLER = Formula("filler over them", "build up − plies · thickness per ply", OURS, MEASURE)


class Against(Enum):
    """The line that heights are held against."""

    ZONE = "minimum zone, middle"
    HIGHEST = "minimum zone, upper side: build up only"
    LOWEST = "minimum zone, lower side: take off only"
    LEAST_SQUARES = "least squares"
    ENDS = "the two ends"
    FLUSH = "flush: steps of zero"


@dataclass(frozen=True)
class Station:
    """A height, or a step to the part beside it, at a place along the straight edge."""

    at: Quantity
    height: Quantity


@dataclass(frozen=True)
class Straightness:
    """Straightness of a row of stations, in the unit of their heights."""

    least_squares: Worked[Quantity]
    minimum_zone: Worked[Quantity]


@dataclass(frozen=True)
class Spot:
    """A station out of the band: off the line (positive is high), and how to bring it there.

    `by` is what to take off a high spot or build up on a low one; `plies` how many plies that cuts into, or
    how many to lay, and `filler` what remains to fill over them; both None without a thickness per ply.
    """

    at: Quantity
    off: Worked[Quantity]
    by: Worked[Quantity]
    plies: Worked[int] | None
    filler: Worked[Quantity] | None


def straightness(stations: Sequence[Station]) -> Straightness:
    """How straight a row of stations is. TooFew below three, where any line fits."""
    if len({station.at.si() for station in stations}) < 3:
        raise TooFew("stations", f"{len(stations)} station(s)", "give heights at three places or more")
    points, told = _points(stations), _told(stations)
    squares, zoned = least_squares(points), narrowest(points)
    return Straightness(
        BY_SQUARES.gives(_height(zone(squares, points), stations), told | _line(squares, stations)),
        BY_ZONE.gives(_height(zone(zoned, points), stations), told | _line(zoned, stations)),
    )


def spots(
    stations: Sequence[Station],
    allowed: Quantity,
    against: Against = Against.ZONE,
    per_ply: Quantity | None = None,
) -> tuple[Spot, ...]:
    """The stations that are out of a band of `allowed` width around the line, worst first.

    The band reaches half of `allowed` to each side, so that a surface of that straightness has no spots;
    against one side of the zone, and against flush, it reaches all of it.
    """
    points = _points(stations)
    band = zero_or_more(allowed, "straightness allowed", Dimension.LENGTH) / _BOTH_SIDES.get(against, 1)
    line = _LINES[against](points)
    off = [(line.above(point), station) for point, station in zip(points, stations, strict=True)]
    out = sorted((one for one in off if abs(one[0]) > band), key=lambda one: -abs(one[0]))
    return tuple(_spot(height, station, against, per_ply) for height, station in out)


def heights_from_steps(stations: Sequence[Station]) -> tuple[Station, ...]:
    """Heights from steps, each measured from one station to the next: they add up along the row."""
    total, heights = Fraction(0), []
    for station in stations:
        total += of_kind(station.height, "step", Dimension.LENGTH)
        heights.append(Station(station.at, quantity(total, station.height.unit.symbol)))
    return tuple(heights)


def _upper(points: Sequence[Point]) -> Line:
    return _raised(points, max)


def _lower(points: Sequence[Point]) -> Line:
    return _raised(points, min)


def _raised(points: Sequence[Point], side: Callable[[list[Fraction]], Fraction]) -> Line:
    middle = narrowest(points)
    return Line(middle.slope, middle.level + side([middle.above(point) for point in points]))


_LINES: Mapping[Against, Callable[[Sequence[Point]], Line]] = {
    Against.ZONE: narrowest,
    Against.HIGHEST: _upper,
    Against.LOWEST: _lower,
    Against.LEAST_SQUARES: least_squares,
    Against.ENDS: through_ends,
    Against.FLUSH: lambda _: FLUSH,
}
_BOTH_SIDES = {Against.ZONE: 2, Against.LEAST_SQUARES: 2, Against.ENDS: 2}


def _spot(height: Fraction, station: Station, against: Against, per_ply: Quantity | None) -> Spot:
    told: dict[str, Value] = {"at": station.at, "height": station.height, "against": against.value}
    off = _height(height, [station])
    by = TAKE_OFF if height > 0 else BUILD_UP
    amount = _height(abs(height), [station])
    plies, filler = _in_plies(height, amount, per_ply) if per_ply else (None, None)
    return Spot(station.at, OFF.gives(off, told), by.gives(amount, {"off the line": off}), plies, filler)


def _in_plies(
    height: Fraction, amount: Quantity, per_ply: Quantity
) -> tuple[Worked[int], Worked[Quantity] | None]:
    each = above_zero(per_ply, "thickness per ply", Dimension.LENGTH)
    told: dict[str, Value] = {"height": amount, "thickness per ply": per_ply}
    if height > 0:
        return DEEP.gives(-floor(-height / each), told), None
    plies = floor(-height / each)
    rest = quantity(-height - plies * each, amount.unit.symbol)
    return PLIES.gives(plies, told), FILLER.gives(rest, told | {"plies": plies})


def _points(stations: Sequence[Station]) -> list[Point]:
    return [
        (
            of_kind(station.at, "station", Dimension.LENGTH),
            of_kind(station.height, f"height at {station.at}", Dimension.LENGTH),
        )
        for station in stations
    ]


def _height(metres: Fraction, stations: Sequence[Station]) -> Quantity:
    return quantity(metres, stations[0].height.unit.symbol)


def _told(stations: Sequence[Station]) -> dict[str, Value]:
    return {f"at {station.at}": station.height for station in stations}


def _line(line: Line, stations: Sequence[Station]) -> dict[str, Value]:
    """The line's level at station zero and its slope."""
    return {"a": _height(line.level, stations), "b": quantity(line.slope * 100, "%")}
