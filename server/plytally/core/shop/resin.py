"""Resin and hardener for a batch: by weight or by volume, for an area or for plies, in one cup or several.

split(Quantity(500 g), Ratio(4, 1)) -> 400 g resin, 100 g hardener. A ratio by volume is never weighed out
as if it were one by weight: `ratio_by_weight` converts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil

from plytally.core.quantities import Dimension, Quantity, Ratio, parse_quantity
from plytally.core.shop.amounts import above_zero, number_of, quantity, rounded, share_or_none
from plytally.core.shop.cautions import EPOXY, MIXING
from plytally.core.shop.errors import OutOfRange
from plytally.core.shop.laminate import EPOXY_DENSITY, HAND, Plies, Way, wet_out
from plytally.core.shop.sources import ARMY_CRAFT, DA20, OURS, TRADE
from plytally.core.shop.worked import Formula, Value, Worked

COMMON_POT = parse_quantity("100 g")  # DA20-C1 AMM 51-00-00 p.10
NO_WASTE = parse_quantity("0 %")
_HUNDRED = 100


class By(Enum):
    """What a maker's ratio counts."""

    WEIGHT = "by weight"
    VOLUME = "by volume"


_MEASURES = {By.WEIGHT: Dimension.MASS, By.VOLUME: Dimension.VOLUME}

RESIN = Formula("resin", "resin = mix · a / (a + b) at a:b", ARMY_CRAFT, EPOXY)
HARDENER = Formula("hardener", "hardener = mix · b / (a + b) at a:b", ARMY_CRAFT, EPOXY)
MIX = Formula("mix", "mix = resin + hardener", ARMY_CRAFT, MIXING)
MIX_WITH = Formula("mix with this resin", "mix = resin · (a + b) / a at a:b", ARMY_CRAFT, MIXING)
CUP = Formula("mix in each cup", "mix / number of cups", OURS, MIXING)
MIX_FOR_AREA = Formula(
    "mix for the area", "mix = area · mix for a unit of area", f"{ARMY_CRAFT}, 8-24", MIXING
)
MIX_FOR_PLIES = Formula("mix for the plies", "mix = resin to wet out / (1 − waste)", OURS, MIXING)
WEIGHT_RATIO = Formula(
    "ratio by weight",
    "a·ρa : b·ρb, as 100 to b",
    OURS,
    "Use the maker's own ratio by weight if there is one.",
)
VOLUME_RATIO = Formula(
    "ratio by volume",
    "a/ρa : b/ρb, as 100 to b",
    OURS,
    "Use the maker's own ratio by volume if there is one.",
)
CUPS = Formula("cups", "n = mix / most in a cup, rounded up", OURS, MIXING)


@dataclass(frozen=True)
class Batch:
    """A mix and its two parts, each in the unit of the mix."""

    mix: Worked[Quantity]
    resin: Worked[Quantity]
    hardener: Worked[Quantity]


@dataclass(frozen=True)
class Cups:
    """A mix shared out over equal cups, mixed one after the other."""

    number: Worked[int]
    each: Batch


@dataclass(frozen=True)
class Spread:
    """So much mix on so much area: 2 g on 1 in2."""

    mix: Quantity
    area: Quantity


def split(mix: Quantity, ratio: Ratio, by: By = By.WEIGHT) -> Batch:
    """Resin and hardener of a mix. WrongKind for a volume of a ratio by weight, and the other way round."""
    return _batch(MIX, mix, ratio, by, {"mix": mix})


def batch_with(resin: Quantity, ratio: Ratio, by: By = By.WEIGHT) -> Batch:
    """The hardener that goes with so much resin, and the mix they make."""
    first, second = parts_of(ratio)
    whole = size_of(resin, by, "resin") * (first + second) / first
    return _batch(MIX_WITH, quantity(whole, resin.unit.symbol), ratio, by, {"resin": resin})


def batch_for_area(area: Quantity, spread: Spread, ratio: Ratio, by: By = By.WEIGHT) -> Batch:
    """A batch for an area, from the mix that one unit of area takes."""
    units = above_zero(area, "area", Dimension.AREA) / above_zero(spread.area, "area spread", Dimension.AREA)
    mix = quantity(units * size_of(spread.mix, by, "mix spread"), spread.mix.unit.symbol)
    return _batch(MIX_FOR_AREA, mix, ratio, by, {"area": area, "mix": spread.mix, "on": spread.area})


def batch_for_plies(
    stack: Sequence[Plies],
    area: Quantity,
    ratio: Ratio,
    way: Way = HAND,
    waste: Quantity = NO_WASTE,
    resin_density: Quantity = EPOXY_DENSITY,
) -> Batch:
    """A batch by weight, in grams, that wets out a stack; `waste` is the percentage left in cup and brush."""
    lost = share_or_none(waste, "waste")
    resin = wet_out(stack, area, way, resin_density).resin
    inputs = {given.name: given.value for given in resin.inputs} | {"waste": waste}
    mix = quantity(resin.value.si() / (1 - lost), "g")
    return _batch(MIX_FOR_PLIES, mix, ratio, By.WEIGHT, inputs, resin.source)


def cups(mix: Quantity, ratio: Ratio, most: Quantity = COMMON_POT, by: By = By.WEIGHT) -> Cups:
    """Share a mix out over equal cups of at most `most`."""
    number = number_of(ceil(size_of(mix, by, "mix") / size_of(most, by, "most in a cup")), "cups")
    each = quantity(mix.si() / number, mix.unit.symbol)
    told: dict[str, Value] = {"mix": mix, "cups": number}
    counted = CUPS.gives(number, {"mix": mix, "most in a cup": most}, caution=cup_caution(each))
    return Cups(counted, _batch(CUP, each, ratio, by, told))


def ratio_by_weight(ratio: Ratio, resin_density: Quantity, hardener_density: Quantity) -> Worked[Ratio]:
    """The ratio by weight, 100 to b, of a ratio by volume."""
    first, second = parts_of(ratio)
    of_resin, of_hardener = _densities(resin_density, hardener_density)
    return _ratio(
        WEIGHT_RATIO, second * of_hardener / (first * of_resin), ratio, resin_density, hardener_density
    )


def ratio_by_volume(ratio: Ratio, resin_density: Quantity, hardener_density: Quantity) -> Worked[Ratio]:
    """The ratio by volume, 100 to b, of a ratio by weight."""
    first, second = parts_of(ratio)
    of_resin, of_hardener = _densities(resin_density, hardener_density)
    return _ratio(
        VOLUME_RATIO, second * of_resin / (first * of_hardener), ratio, resin_density, hardener_density
    )


def cup_caution(cup: Quantity) -> str:
    """What to watch for in a cup of this mass or volume; nothing up to a common pot of 100 g."""
    mass = cup.si() if cup.unit.dimension is Dimension.MASS else cup.si() * EPOXY_DENSITY.si()
    if mass <= COMMON_POT.si():
        return ""
    return (
        f"A cup of {quantity(mass, 'g').amount.quantize(COMMON_POT.amount)} g is over the common pot of "
        f"{COMMON_POT} ({DA20}): it heats itself, goes sooner than its pot life and may run away. Take "
        f"several cups or a shallow pan ({TRADE})."
    )


def _batch(
    formula: Formula, mix: Quantity, ratio: Ratio, by: By, inputs: dict[str, Value], source: str = ""
) -> Batch:
    size, (first, second) = size_of(mix, by, "mix"), parts_of(ratio)
    unit, told = mix.unit.symbol, inputs | {f"ratio {by.value}": ratio}
    shared: dict[str, Value] = {"mix": mix, f"ratio {by.value}": ratio}
    return Batch(
        formula.gives(mix, told, source=source, caution=cup_caution(mix)),
        RESIN.gives(quantity(size * first / (first + second), unit), shared),
        HARDENER.gives(quantity(size * second / (first + second), unit), shared),
    )


def size_of(amount: Quantity, by: By, where: str) -> Fraction:
    """Give a mass for a ratio by weight, a volume for one by volume, in SI. WrongKind for the other."""
    return above_zero(amount, f"{where}, at a ratio {by.value}", _MEASURES[by])


def parts_of(ratio: Ratio) -> tuple[Fraction, Fraction]:
    """Give the parts of a ratio. OutOfRange for anything but a Ratio."""
    if not isinstance(ratio, Ratio):
        raise OutOfRange("ratio", ratio, "give parts of resin to parts of hardener, like 4:1 or 100:45")
    return Fraction(ratio.first), Fraction(ratio.second)


def _densities(resin: Quantity, hardener: Quantity) -> tuple[Fraction, Fraction]:
    return (
        above_zero(resin, "density of the resin", Dimension.DENSITY),
        above_zero(hardener, "density of the hardener", Dimension.DENSITY),
    )


def _ratio(
    formula: Formula, second: Fraction, ratio: Ratio, resin: Quantity, hardener: Quantity
) -> Worked[Ratio]:
    told: dict[str, Value] = {"ratio": ratio, "resin density": resin, "hardener density": hardener}
    return formula.gives(Ratio(rounded(Fraction(_HUNDRED)), rounded(second * _HUNDRED)), told)
