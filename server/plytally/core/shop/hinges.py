"""Whether hinges lie in one line, from three points or more, and what brings each one there.

Points are spanwise station, height, and how far aft; without `aft` the line is looked at from behind only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import of_kind, quantity, root
from plytally.core.shop.cautions import HINGE
from plytally.core.shop.errors import OutOfRange, TooFew
from plytally.core.shop.line import Line, Point, least_squares, through_ends
from plytally.core.shop.sources import OURS
from plytally.core.shop.worked import Formula, Value, Worked

UP = Formula("above the line", "up − a − b·span; positive is high", OURS, HINGE)
AFT = Formula("aft of the line", "aft − a − b·span; positive is aft", OURS, HINGE)
OUT = Formula("out of line", "√(above² + aft²)", OURS, HINGE)


class Through(Enum):
    """The line that the hinges are held against."""

    ENDS = "the first and the last hinge"
    LEAST_SQUARES = "least squares of all hinges"


@dataclass(frozen=True)
class Hinge:
    """One hinge's bolt: where along the span, how high, and how far aft."""

    name: str
    span: Quantity
    up: Quantity
    aft: Quantity | None = None


@dataclass(frozen=True)
class OffLine:
    """How far one hinge is off the line, in the unit of its height; move it the other way."""

    name: str
    up: Worked[Quantity]
    aft: Worked[Quantity] | None
    out: Worked[Quantity]


@dataclass(frozen=True)
class HingeLine:
    """All hinges against one line, and the one that is worst."""

    hinges: tuple[OffLine, ...]
    worst: str


def hinge_line(hinges: Sequence[Hinge], through: Through = Through.ENDS) -> HingeLine:
    """Hold hinges against a line. TooFew below three; OutOfRange where only some have `aft`."""
    if len(hinges) < 3:
        raise TooFew("hinges", f"{len(hinges)} hinge(s)", "two are always in line; give three or more")
    deep = [hinge.aft for hinge in hinges if hinge.aft is not None]
    if deep and len(deep) < len(hinges):
        raise OutOfRange("hinges", "some without aft", "give how far aft for each of them, or for none")
    spans = [of_kind(hinge.span, f"span of {hinge.name}", Dimension.LENGTH) for hinge in hinges]
    ups = _above(
        spans, [of_kind(hinge.up, f"height of {hinge.name}", Dimension.LENGTH) for hinge in hinges], through
    )
    afts = _above(spans, [of_kind(aft, "aft", Dimension.LENGTH) for aft in deep], through) if deep else None
    found = tuple(
        _off(hinge, ups[at], afts[at] if afts else None, through) for at, hinge in enumerate(hinges)
    )
    return HingeLine(found, max(found, key=lambda one: one.out.value.si()).name)


def _above(spans: list[Fraction], heights: list[Fraction], through: Through) -> list[Fraction]:
    points: list[Point] = list(zip(spans, heights, strict=True))
    line: Line = through_ends(points) if through is Through.ENDS else least_squares(points)
    return [line.above(point) for point in points]


def _off(hinge: Hinge, up: Fraction, aft: Fraction | None, through: Through) -> OffLine:
    told: dict[str, Value] = {"span": hinge.span, "up": hinge.up, "line through": through.value}
    unit = hinge.up.unit.symbol
    high, far = quantity(up, unit), quantity(aft or Fraction(0), unit)
    out = root(up**2 + (aft or Fraction(0)) ** 2)
    return OffLine(
        hinge.name,
        UP.gives(high, told, f"{hinge.name} above the line"),
        AFT.gives(far, told | {"aft": hinge.aft}, f"{hinge.name} aft of the line") if hinge.aft else None,
        OUT.gives(quantity(out, unit), {"above": high, "aft": far}, f"{hinge.name} out of line"),
    )
