"""A spacer out of what is on hand: washers, tape, shim, plies, stacked to a target thickness.

pick_spacer(Quantity(0.080 in), Quantity(0.002 in), [washers, tape], clamp_takes=Quantity(0.008 in))
  -> 1 washer of 0.070 in and 4 tapes of 0.0045 in: 0.088 in loose, 0.080 in under the clamp

Exact, not greedy: of all stacks within the tolerance the one with the fewest pieces, then the nearest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import (
    above_zero,
    number_of,
    quantity,
    root,
    share_or_none,
    zero_or_more,
)
from plytally.core.shop.cautions import DECIDE
from plytally.core.shop.errors import OutOfRange, TooFew
from plytally.core.shop.picking import fewest_pieces, nearest_totals
from plytally.core.shop.sources import MEMORY, OURS, TRADE
from plytally.core.shop.worked import Formula, Value, Worked

STIFF = parse_quantity("0 %")
NOTHING = parse_quantity("0 in")
_MOST_WORK = 1 << 27  # pieces times grains: about a second, and 200 MB
_MOST_KINDS = 40

_TRY = f"Stack it, clamp it and measure it before it counts ({TRADE}). {DECIDE}"
LOOSE = Formula("loose stack", "Σ n·t", OURS, _TRY)
CLAMPED = Formula("stack under the clamp", "Σ n·t·(1 − squeeze) − what the clamp takes", OURS, _TRY)
OFF = Formula("off the target", "stack under the clamp − target", OURS, "")
WORST = Formula("worst case", "± Σ n·tolerance·(1 − squeeze)", OURS, "")
LIKELY = Formula(
    "root sum square",
    "± √(Σ n·(tolerance·(1 − squeeze))²)",
    f"addition of independent errors ({MEMORY})",
    "Pieces of one roll or one batch err alike: then the worst case is nearer the truth.",
)


@dataclass(frozen=True)
class SpacerKind:
    """One kind of piece: its thickness, how many are on hand, what a clamp squeezes out, how far it varies.

    `squeeze` is a percentage of the thickness; `varies` is ± for one piece, loose.
    """

    name: str
    thickness: Quantity
    on_hand: int
    squeeze: Quantity = STIFF
    varies: Quantity = NOTHING

    def under_clamp(self) -> Fraction:
        """Thickness under the clamp, in metres. ShopError for what no piece can be."""
        loose = above_zero(self.thickness, f"thickness of {self.name}", Dimension.LENGTH)
        return loose * self.kept()

    def kept(self) -> Fraction:
        """The share of its thickness that the clamp leaves."""
        return 1 - share_or_none(self.squeeze, f"squeeze of {self.name}")

    def error(self) -> Fraction:
        """How far its thickness under the clamp varies, in metres."""
        return zero_or_more(self.varies, f"variation of {self.name}", Dimension.LENGTH) * self.kept()


@dataclass(frozen=True)
class Pieces:
    """So many pieces of one kind."""

    number: int
    kind: SpacerKind


@dataclass(frozen=True)
class Spacer:
    """A stack: its pieces in the order of the kinds, and its thicknesses in the unit of the target."""

    pieces: tuple[Pieces, ...]
    fits: bool
    loose: Worked[Quantity]
    clamped: Worked[Quantity]
    off: Worked[Quantity]
    worst: Worked[Quantity]
    likely: Worked[Quantity]


def pick_spacer(
    target: Quantity, within: Quantity, kinds: Sequence[SpacerKind], clamp_takes: Quantity = NOTHING
) -> Spacer:
    """The stack of fewest pieces within the tolerance, nearest to the target among those.

    `clamp_takes` is what the clamped stack as a whole gives. Where nothing fits, the nearest stack of all
    comes back with `fits` False. OutOfRange for thicknesses given so finely that the search would not end.
    """
    bench = _Bench.of(target, within, kinds, clamp_takes)
    counts = fewest_pieces(bench.sizes, bench.counts, bench.low, bench.high, bench.aim)
    return nearest_spacer(target, within, kinds, clamp_takes) if counts is None else bench.spacer(counts)


def nearest_spacer(
    target: Quantity, within: Quantity, kinds: Sequence[SpacerKind], clamp_takes: Quantity = NOTHING
) -> Spacer:
    """The stack nearest to the target, however many pieces it takes; the fewest that come that near."""
    bench = _Bench.of(target, within, kinds, clamp_takes)
    totals = nearest_totals(bench.sizes, bench.counts, bench.aim)
    found = (fewest_pieces(bench.sizes, bench.counts, total, total, bench.aim) for total in totals)
    return bench.spacer(min((counts for counts in found if counts), key=sum))


def stack_up(
    target: Quantity, within: Quantity, pieces: Sequence[Pieces], clamp_takes: Quantity = NOTHING
) -> Spacer:
    """Work out a stack that the builder has chosen.

    Lengths in the target's unit. TooFew without pieces, ShopError for what is no length.
    """
    wanted = above_zero(target, "target", Dimension.LENGTH)
    allowed = zero_or_more(within, "tolerance", Dimension.LENGTH)
    taken = zero_or_more(clamp_takes, "what the clamp takes", Dimension.LENGTH)
    if not pieces:
        raise TooFew("spacer", "no pieces", "name at least one kind and how many")
    numbers = [number_of(one.number, one.kind.name) for one in pieces]
    loose = sum((n * one.kind.thickness.si() for n, one in zip(numbers, pieces, strict=True)), Fraction(0))
    clamped = sum((n * one.kind.under_clamp() for n, one in zip(numbers, pieces, strict=True)), -taken)
    worst = sum((n * one.kind.error() for n, one in zip(numbers, pieces, strict=True)), Fraction(0))
    squares = sum((n * one.kind.error() ** 2 for n, one in zip(numbers, pieces, strict=True)), Fraction(0))
    unit, told = target.unit.symbol, _told(pieces)
    under = quantity(clamped, unit)
    return Spacer(
        tuple(pieces),
        abs(clamped - wanted) <= allowed,
        LOOSE.gives(quantity(loose, unit), told),
        CLAMPED.gives(under, told | {"clamp takes": clamp_takes}),
        OFF.gives(quantity(clamped - wanted, unit), {"under the clamp": under, "target": target}),
        WORST.gives(quantity(worst, unit), told),
        LIKELY.gives(quantity(root(squares), unit), told),
    )


@dataclass(frozen=True)
class _Bench:
    """Target and kinds in whole grains: the largest length of which all of them are multiples."""

    target: Quantity
    within: Quantity
    kinds: tuple[SpacerKind, ...]
    clamp_takes: Quantity
    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    low: int
    high: int
    aim: int

    @classmethod
    def of(
        cls, target: Quantity, within: Quantity, kinds: Sequence[SpacerKind], clamp_takes: Quantity
    ) -> _Bench:
        if not 1 <= len(kinds) <= _MOST_KINDS:
            raise TooFew("what is on hand", f"{len(kinds)} kinds", f"name 1 to {_MOST_KINDS} kinds of piece")
        depths = [kind.under_clamp() for kind in kinds]
        on_hand = [number_of(kind.on_hand, f"{kind.name} on hand") for kind in kinds]
        allowed = zero_or_more(within, "tolerance", Dimension.LENGTH)
        needed = above_zero(target, "target", Dimension.LENGTH)
        needed += zero_or_more(clamp_takes, "what the clamp takes", Dimension.LENGTH)
        grain = _grain([*depths, needed])
        sizes = tuple(int(depth / grain) for depth in depths)
        low, high = ceil((needed - allowed) / grain), floor((needed + allowed) / grain)
        limit = max(high, int(needed / grain) + max(sizes))
        counts = tuple(min(n, limit // size) for n, size in zip(on_hand, sizes, strict=True))
        if limit * sum(counts) > _MOST_WORK:
            raise OutOfRange(
                "spacer",
                f"{sum(counts)} pieces whose thicknesses share no more than {float(grain) * 1e6:.2g} µm",
                "round thicknesses and squeezes, to 0.0001 in and whole percents, or name fewer pieces",
            )
        return cls(target, within, tuple(kinds), clamp_takes, sizes, counts, low, high, int(needed / grain))

    def spacer(self, counts: Sequence[int]) -> Spacer:
        chosen = [Pieces(n, kind) for n, kind in zip(counts, self.kinds, strict=True) if n]
        return stack_up(self.target, self.within, chosen, self.clamp_takes)


def _grain(lengths: Sequence[Fraction]) -> Fraction:
    """The largest length of which all are whole multiples."""
    whole = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * whole) for length in lengths)), whole)


def _told(pieces: Sequence[Pieces]) -> dict[str, Value]:
    told: dict[str, Value] = {}
    alike = len({one.kind.name for one in pieces}) < len(pieces)
    for at, one in enumerate(pieces, 1):
        name = f"{at}. {one.kind.name}" if alike else one.kind.name
        told[f"{one.number} of {name}, each"] = one.kind.thickness
        told |= {f"squeeze of {name}": one.kind.squeeze} if one.kind.squeeze.amount else {}
        told |= {f"variation of {name} (±)": one.kind.varies} if one.kind.varies.amount else {}
    return told
