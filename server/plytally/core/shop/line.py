"""The straight line that heights are held against: least squares, minimum zone, or through the ends.

Exact, in fractions. The minimum zone is the narrowest band between two parallel lines that holds every
height (ISO 1101, minimum condition), its width read along the heights, as a gauge on a straight edge reads
them; one of its sides lies on an edge of the points' convex hull.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from plytally.core.shop.amounts import root
from plytally.core.shop.errors import OutOfRange, TooFew

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Line:
    """Heights along a station: `level` at station zero, and `slope` for each unit of it."""

    slope: Fraction
    level: Fraction

    def above(self, point: Point) -> Fraction:
        """How far a point lies above the line, along its height."""
        return point[1] - self.level - self.slope * point[0]

    def square(self, height: Fraction) -> Fraction:
        """A distance along the height, measured at right angles to the line instead."""
        return height / root(1 + self.slope**2)


FLUSH = Line(Fraction(0), Fraction(0))


def least_squares(points: Sequence[Point]) -> Line:
    """The line with the least sum of squared heights above it. TooFew for fewer than two stations."""
    _check(points)
    number = len(points)
    middle = sum((x for x, _ in points), Fraction(0)) / number
    mean = sum((y for _, y in points), Fraction(0)) / number
    run = sum(((x - middle) ** 2 for x, _ in points), Fraction(0))
    slope = sum(((x - middle) * (y - mean) for x, y in points), Fraction(0)) / run
    return Line(slope, mean - slope * middle)


def through_ends(points: Sequence[Point]) -> Line:
    """The line through the first and the last station. OutOfRange where an end has two heights."""
    _check(points)
    (first, *_, last) = ordered = sorted(points)
    if ordered[1][0] == first[0] or ordered[-2][0] == last[0]:
        raise OutOfRange("stations", "two readings at an end", "give one height at each end")
    slope = (last[1] - first[1]) / (last[0] - first[0])
    return Line(slope, first[1] - slope * first[0])


def narrowest(points: Sequence[Point]) -> Line:
    """The middle line of the minimum zone. TooFew for fewer than two stations."""
    _check(points)
    lower, upper = _hull(points, below=True), _hull(points, below=False)
    corners = (*lower, *upper)
    slopes = sorted({_slope(one, other) for chain in (lower, upper) for one, other in pairwise(chain)})
    slope = _valley(slopes, lambda steep: _width(corners, steep))
    rests = [y - slope * x for x, y in corners]
    return Line(slope, (max(rests) + min(rests)) / 2)


def zone(line: Line, points: Sequence[Point]) -> Fraction:
    """Range of the heights above a line: the straightness against it."""
    above = [line.above(point) for point in points]
    return max(above) - min(above)


def _check(points: Sequence[Point]) -> None:
    stations = {x for x, _ in points}
    if len(stations) < 2:
        raise TooFew("stations", f"{len(stations)} station(s)", "a line needs heights at two places or more")


def _hull(points: Sequence[Point], *, below: bool) -> list[Point]:
    """One side of the convex hull, from the first station to the last."""
    outer: dict[Fraction, Fraction] = {}
    for x, y in points:
        outer[x] = (min if below else max)(y, outer.get(x, y))
    chain: list[Point] = []
    for point in sorted(outer.items()):
        while len(chain) > 1 and _turns(chain[-2], chain[-1], point, below=below):
            chain.pop()
        chain.append(point)
    return chain


def _turns(one: Point, other: Point, point: Point, *, below: bool) -> bool:
    """Tell whether the corner in the middle does not stand out."""
    cross = (other[0] - one[0]) * (point[1] - one[1]) - (other[1] - one[1]) * (point[0] - one[0])
    return cross <= 0 if below else cross >= 0


def _slope(one: Point, other: Point) -> Fraction:
    return (other[1] - one[1]) / (other[0] - one[0])


def _width(points: Sequence[Point], slope: Fraction) -> Fraction:
    rests = [y - slope * x for x, y in points]
    return max(rests) - min(rests)


def _valley(slopes: Sequence[Fraction], width: Callable[[Fraction], Fraction]) -> Fraction:
    """The slope of least width; the width is convex, so halving finds it."""
    low, high = 0, len(slopes) - 1
    while low < high:
        middle = (low + high) // 2
        if width(slopes[middle]) <= width(slopes[middle + 1]):
            high = middle
        else:
            low = middle + 1
    return slopes[low]
