"""What a misweigh and a scale's coarse steps do to the ratio, and how to mend a cup before it is mixed.

weighed(Ratio(4, 1), Quantity(400 g), Quantity(104 g)) -> 4 % too much hardener; add 16 g of resin
"""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.quantities import Dimension, Quantity, Ratio, parse_quantity
from plytally.core.shop.amounts import above_zero, quantity, rounded, share, share_or_none
from plytally.core.shop.cautions import EPOXY, MIXING
from plytally.core.shop.errors import NotPossible
from plytally.core.shop.resin import By, parts_of, size_of, split
from plytally.core.shop.sources import DA20, OURS, TRADE
from plytally.core.shop.worked import Formula, Value, Worked

ALLOWED = parse_quantity("0.5 %")  # DA20-C1 AMM 51-00-00 p.10

ACTUAL = Formula("ratio weighed out", "as a to hardener · a / resin", OURS, EPOXY)
OFF = Formula(
    "hardener off the ratio",
    "(hardener / resin) / (b / a) − 1; positive is too much hardener",
    f"{OURS}; dispensing error at most 0.5 %: {DA20}",
    "Too little or too much hardener may never cure, and no later hardener mends it once mixed and laid "
    f"({TRADE}). Throw out a cup that is beyond the maker's limit.",
)
ADD = Formula(
    "add to come right",
    "resin: hardener · a/b − resin; hardener: resin · b/a − hardener",
    OURS,
    f"Only before the cup is used, and mix anew. {MIXING}",
)
DISPENSED = Formula(
    "hardener off the ratio at worst",
    "(1 + t) / (1 − t) − 1: hardener at its most, resin at its least",
    f"{OURS}; dispensing error at most 0.5 %: {DA20}",
    EPOXY,
)
SCALED = Formula(
    "hardener off the ratio at worst",
    "((h + step) / (r − step)) / (h / r) − 1",
    f"{OURS}; dispensing error at most 0.5 %: {DA20}",
    "One step of the scale either way; its own error comes on top.",
)
LEAST_MIX = Formula(
    "smallest mix that this scale weighs well enough",
    "r = step · (1 + (1 + e)·q) / (e·q) with q = b/a; mix = r · (1 + q)",
    f"{OURS}; dispensing error at most 0.5 %: {DA20}",
    "A scale with finer steps allows a smaller mix.",
)


@dataclass(frozen=True)
class Weighed:
    """What came into the cup: its ratio, how far off it is, and what to add of which part."""

    ratio: Worked[Ratio]
    off: Worked[Quantity]
    add: Worked[Quantity]
    within: bool


def weighed(
    ratio: Ratio, resin: Quantity, hardener: Quantity, by: By = By.WEIGHT, allowed: Quantity = ALLOWED
) -> Weighed:
    """Hold what is in a cup against its ratio; weigh for a ratio by weight, measure for one by volume.

    `allowed` is the most that the hardener may be off, either way. WrongKind if ratio and amounts differ.
    """
    first, second = parts_of(ratio)
    of_resin, of_hardener = size_of(resin, by, "resin"), size_of(hardener, by, "hardener")
    told: dict[str, Value] = {f"ratio {by.value}": ratio, "resin": resin, "hardener": hardener}
    off = of_hardener / of_resin * first / second - 1
    part = "hardener" if off < 0 else "resin"
    more = of_resin * second / first - of_hardener if off < 0 else of_hardener * first / second - of_resin
    actual = Ratio(ratio.first, rounded(of_hardener / of_resin * first))
    return Weighed(
        ACTUAL.gives(actual, told),
        OFF.gives(quantity(off, "%"), told),
        ADD.gives(quantity(more, resin.unit.symbol), told, f"{part} to add to come right"),
        abs(off) <= share(allowed, "allowed error"),
    )


def dispensed(tolerance: Quantity) -> Worked[Quantity]:
    """How far the hardener can be off if each part is dispensed within ± `tolerance` percent."""
    error = share_or_none(tolerance, "tolerance")
    return DISPENSED.gives(
        quantity((1 + error) / (1 - error) - 1, "%"), {"tolerance of each part": tolerance}
    )


def scaled(mix: Quantity, ratio: Ratio, step: Quantity) -> Worked[Quantity]:
    """How far off the hardener can be on a scale with steps of `step`. NotPossible if it is too coarse."""
    batch = split(mix, ratio, By.WEIGHT)
    one = above_zero(step, "step of the scale", Dimension.MASS)
    resin, hardener = batch.resin.value.si(), batch.hardener.value.si()
    if resin <= one or hardener <= one:
        raise NotPossible("step of the scale", step, "the scale is too coarse for this mix; mix more at once")
    off = (hardener + one) / (resin - one) * resin / hardener - 1
    return SCALED.gives(quantity(off, "%"), {"mix": mix, "ratio by weight": ratio, "step": step})


def least_mix(ratio: Ratio, step: Quantity, allowed: Quantity = ALLOWED) -> Worked[Quantity]:
    """The smallest mix whose hardener a scale's step puts off by no more than allowed; in its unit."""
    one, error = above_zero(step, "step of the scale", Dimension.MASS), share(allowed, "allowed error")
    first, second = parts_of(ratio)
    part = second / first
    resin = one * (1 + (1 + error) * part) / (error * part)
    told: dict[str, Value] = {"ratio by weight": ratio, "step": step, "allowed": allowed}
    return LEAST_MIX.gives(quantity(resin * (1 + part), step.unit.symbol), told)
