"""The builder's own thickness per ply, from coupons and steps measured, and the plies for a build-up.

own = PerPly().with_coupon(Quantity(0.052 in), 5).with_step(Quantity(0.250 in), Quantity(0.281 in), 3)

The estimate runs (Welford's method): each measurement corrects mean and spread, the order of arrival does
not matter, and no measurement is kept. It is exact, in fractions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import above_zero, number_of, of_kind, quantity, root, zero_or_more
from plytally.core.shop.cautions import DECIDE, MEASURE
from plytally.core.shop.errors import OutOfRange, TooFew
from plytally.core.shop.sources import MEMORY, OURS
from plytally.core.shop.worked import Formula, Value, Worked

_LIKELY = 2  # standard deviations: about 95 of 100 layups, if they vary like the coupons did

MEAN = Formula(
    "own thickness per ply", "mean of the measured thickness / plies", f"Welford 1962 ({MEMORY})", MEASURE
)
SPREAD = Formula(
    "spread of the own thickness per ply",
    "s = √(Σ(x − mean)² / (k − 1)) of k measurements",
    f"Welford 1962 ({MEMORY})",
    "With fewer than about five measurements the spread itself is a guess.",
)
CORRECTION = Formula("own plies against the calculated", "measured / calculated", OURS, MEASURE)
PLIES = Formula(
    "plies for the build-up",
    "n = build-up / thickness per ply, to the nearest whole ply",
    OURS,
    f"Never fewer plies than the print asks for. {DECIDE}",
)
REACHED = Formula("build-up reached", "n · thickness per ply", OURS, MEASURE)
REACHED_SPREAD = Formula(
    "spread of the build-up",
    "± n · s: plies of one layup are wet alike, so their errors add",
    OURS,
    "One standard deviation: about one layup in three falls outside.",
)


@dataclass(frozen=True)
class PerPly:
    """What has been learnt of one cloth laid one way: how many measurements, mean and Σ(x − mean)², in m."""

    number: int = 0
    mean: Fraction = Fraction(0)
    squares: Fraction = Fraction(0)

    def with_coupon(self, thickness: Quantity, plies: int) -> PerPly:
        """Learn from a coupon of so many plies. ShopError for no thickness or no plies."""
        return self._with(above_zero(thickness, "coupon", Dimension.LENGTH) / number_of(plies, "plies"))

    def with_step(self, before: Quantity, after: Quantity, plies: int) -> PerPly:
        """Learn from the thickness or height at one spot before and after so many plies were laid on it.

        ShopError for amounts that are no lengths; OutOfRange where the plies added nothing.
        """
        rise = of_kind(after, "after", Dimension.LENGTH) - of_kind(before, "before", Dimension.LENGTH)
        if rise <= 0:
            raise OutOfRange(
                "step", f"{before} before and {after} after", "the plies must have added something"
            )
        return self._with(rise / number_of(plies, "plies"))

    def thickness(self) -> Worked[Quantity]:
        """Mean thickness per ply, in inches. TooFew before the first measurement."""
        if not self.number:
            raise TooFew("own thickness per ply", "no measurement", "measure a coupon or a step first")
        return MEAN.gives(quantity(self.mean, "in"), {"measurements": self.number})

    def spread(self) -> Worked[Quantity]:
        """Standard deviation of the thickness per ply, in inches. TooFew before the second measurement."""
        if self.number < 2:
            raise TooFew(
                "spread",
                f"{self.number} measurement(s)",
                "one says nothing of the spread; measure two or more",
            )
        deviation = root(self.squares / (self.number - 1))
        return SPREAD.gives(quantity(deviation, "in"), {"measurements": self.number})

    def _with(self, each: Fraction) -> PerPly:
        number = self.number + 1
        mean = self.mean + (each - self.mean) / number
        return PerPly(number, mean, self.squares + (each - self.mean) * (each - mean))


@dataclass(frozen=True)
class PliesFor:
    """Plies for a wanted build-up: the nearest number, what it reaches, and the numbers it may turn out as.

    `fewest` and `most` are the nearest whole plies if each came out two standard deviations thicker or
    thinner; they equal `plies` where no spread is known.
    """

    plies: Worked[int]
    reached: Worked[Quantity]
    reached_spread: Worked[Quantity] | None
    short_by: Worked[Quantity]
    fewest: Worked[int]
    most: Worked[int]


SHORT_BY = Formula(
    "short of the build-up",
    "build-up − reached; negative is over it",
    OURS,
    "Fill the rest, or choose a ply more or less.",
)


def plies_for(build_up: Quantity, per_ply: Quantity, spread: Quantity | None = None) -> PliesFor:
    """Plies nearest to a wanted build-up; lengths in its unit. OutOfRange if the spread swallows the ply."""
    wanted = above_zero(build_up, "build-up", Dimension.LENGTH)
    each = above_zero(per_ply, "thickness per ply", Dimension.LENGTH)
    give = zero_or_more(spread, "spread", Dimension.LENGTH) if spread else Fraction(0)
    if _LIKELY * give >= each:
        raise OutOfRange("spread", spread, f"too wide for plies of {per_ply}; measure more coupons")
    told: dict[str, Value] = {"build-up": build_up, "thickness per ply": per_ply}
    told |= {"spread per ply": spread} if spread else {}
    count, unit = _nearest(wanted / each), build_up.unit.symbol
    reached = quantity(count * each, unit)
    so_reached: Mapping[str, Value] = {"plies": count, "thickness per ply": per_ply}
    return PliesFor(
        PLIES.gives(count, told),
        REACHED.gives(reached, so_reached),
        REACHED_SPREAD.gives(quantity(count * give, unit), {"plies": count, "s": spread}) if spread else None,
        SHORT_BY.gives(quantity(wanted - count * each, unit), {"build-up": build_up, "reached": reached}),
        PLIES.gives(_nearest(wanted / (each + _LIKELY * give)), told, "fewest plies, if they come out thick"),
        PLIES.gives(_nearest(wanted / (each - _LIKELY * give)), told, "most plies, if they come out thin"),
    )


def correction(measured: Quantity, calculated: Quantity) -> Worked[Quantity]:
    """The measured thickness per ply as a percentage of the calculated one."""
    own = above_zero(measured, "measured", Dimension.LENGTH)
    paper = above_zero(calculated, "calculated", Dimension.LENGTH)
    return CORRECTION.gives(quantity(own / paper, "%"), {"measured": measured, "calculated": calculated})


def _nearest(plies: Fraction) -> int:
    """The nearest whole number, half a ply up."""
    return int(plies + Fraction(1, 2))
