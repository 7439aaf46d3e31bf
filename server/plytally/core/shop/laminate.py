"""A laminate on paper: how thick its plies come out, the resin that wets them, what it weighs.

ply_thickness(Cloth("BID", Quantity(6 oz/yd2)), HAND) -> about 0.0105 in, from Vf = n·Aw / (ρf·d).
Voids and squeezed-out resin are not counted; a coupon of the builder's own is worth more than all of it
(see coupon.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, number_of, quantity, rounded, share
from plytally.core.shop.cautions import EPOXY, MEASURE
from plytally.core.shop.errors import NotPossible, TooFew
from plytally.core.shop.sources import AC43, LECTURE, MEMORY, OURS, THEORY
from plytally.core.shop.worked import Formula, Value, Worked

GLASS = parse_quantity("2.54 g/cm3")  # E-glass, notes on the theory of composites
EPOXY_DENSITY = parse_quantity("1.1 g/cm3")  # the same notes
FIBRE_DENSITIES: Mapping[str, tuple[Quantity, str]] = {
    "E-glass": (GLASS, THEORY),
    "carbon": (parse_quantity("1.79 g/cm3"), "a published worked example, carbon and epoxy"),
    "aramid": (parse_quantity("1.44 g/cm3"), MEMORY),
}
_MOST_FIBRE = Fraction(70, 100)


@dataclass(frozen=True)
class Cloth:
    """The dry fibre of one ply: its areal weight, and the density of the fibre itself."""

    name: str
    areal_weight: Quantity
    fibre_density: Quantity = GLASS


@dataclass(frozen=True)
class Plies:
    """A number of plies of one cloth."""

    number: int
    cloth: Cloth


@dataclass(frozen=True)
class Way:
    """A way of laying: the percentage of the laminate's volume that is fibre, and who says so."""

    name: str
    fibre_volume: Quantity
    source: str


HAND = Way("hand-laid", parse_quantity("30 %"), f"{AC43}, p.3-3: resin weighs what the cloth weighs ({OURS})")
BAGGED = Way("bagged", parse_quantity("40 %"), f"{LECTURE}: woven cloth 40 to 55 %, lower end")
WAYS: Mapping[str, Way] = {"hand": HAND, "bagged": BAGGED}

THICKNESS = Formula("thickness of the stack", "d = Σ n·Aw / (ρf·Vf)", LECTURE, MEASURE)
FIBRE_VOLUME = Formula("fibre volume", "Vf = Σ n·Aw/ρf / d", LECTURE, MEASURE)
FIBRE_VOLUME_BY_MASS = Formula("fibre volume", "Vf = (mf/ρf) / (mf/ρf + mr/ρr)", THEORY, MEASURE)
RESIN_TO_FIBRE = Formula("resin to fibre by weight", "mr/mf = (1 − Vf)/Vf · ρr/ρf", THEORY, MEASURE)
CLOTH_MASS = Formula("dry cloth", "mf = area · Σ n·Aw", OURS, "Offcuts are not counted.")
WET_OUT = Formula("resin to wet it out", "mr = area · d · (1 − Vf) · ρr", LECTURE, f"{EPOXY} {MEASURE}")
FINISHED = Formula("finished weight", "m = mf + mr", OURS, MEASURE)


@dataclass(frozen=True)
class WetOut:
    """What a stack over an area takes and what comes of it."""

    thickness: Worked[Quantity]
    cloth: Worked[Quantity]
    resin: Worked[Quantity]
    finished: Worked[Quantity]


def ply_thickness(cloth: Cloth, way: Way = HAND) -> Worked[Quantity]:
    """Thickness of one ply, in inches."""
    return stack_thickness([Plies(1, cloth)], way)


def stack_thickness(stack: Sequence[Plies], way: Way = HAND) -> Worked[Quantity]:
    """Thickness of a stack of one or more cloths, in inches. ShopError for what no cloth can be."""
    fibre, name = _fibre_depth(stack), "thickness of one ply" if _is_one(stack) else ""
    return THICKNESS.gives(
        quantity(fibre / _share(way), "in"), _told(stack, way), name, way.source, _over_full(way)
    )


def fibre_volume(stack: Sequence[Plies], thickness: Quantity) -> Worked[Quantity]:
    """Fibre volume of a measured stack, in percent. NotPossible where the fibre alone is thicker."""
    depth, measured = _fibre_depth(stack), above_zero(thickness, "measured thickness", Dimension.LENGTH)
    if depth >= measured:
        least = quantity(depth, thickness.unit.symbol)
        raise NotPossible(
            "measured thickness", thickness, f"the dry fibre alone makes {least}; check plies and cloth"
        )
    told = _told_stack(stack) | {"measured thickness": thickness}
    return FIBRE_VOLUME.gives(quantity(depth / measured, "%"), told)


def fibre_volume_by_mass(
    fibre: Quantity, resin: Quantity, fibre_density: Quantity = GLASS, resin_density: Quantity = EPOXY_DENSITY
) -> Worked[Quantity]:
    """Fibre volume from what the fibre and the resin in a piece weigh, in percent."""
    of_fibre = above_zero(fibre, "fibre", Dimension.MASS) / _density(fibre_density, "fibre")
    of_resin = above_zero(resin, "resin", Dimension.MASS) / _density(resin_density, "resin")
    told: dict[str, Value] = {"fibre": fibre, "resin": resin}
    told |= {"fibre density": fibre_density, "resin density": resin_density}
    return FIBRE_VOLUME_BY_MASS.gives(quantity(of_fibre / (of_fibre + of_resin), "%"), told)


def resin_to_fibre(
    way: Way = HAND, fibre_density: Quantity = GLASS, resin_density: Quantity = EPOXY_DENSITY
) -> Worked[Decimal]:
    """Weight of resin for each unit of weight of dry cloth."""
    densities = _density(resin_density, "resin") / _density(fibre_density, "fibre")
    filled = _share(way)
    told: dict[str, Value] = {"fibre volume": way.fibre_volume}
    told |= {"fibre density": fibre_density, "resin density": resin_density}
    return RESIN_TO_FIBRE.gives(rounded((1 - filled) / filled * densities), told, source=way.source)


def wet_out(
    stack: Sequence[Plies], area: Quantity, way: Way = HAND, resin_density: Quantity = EPOXY_DENSITY
) -> WetOut:
    """Thickness, dry cloth, resin and finished weight of a stack over an area; weights in grams."""
    size = above_zero(area, "area", Dimension.AREA)
    dry = size * sum(_areal(plies) for plies in stack)
    depth = _fibre_depth(stack) / _share(way)
    wet = size * depth * (1 - _share(way)) * _density(resin_density, "resin")
    told: dict[str, Value] = {"area": area} | _told(stack, way) | {"resin density": resin_density}
    cloth, resin = quantity(dry, "g"), quantity(wet, "g")
    return WetOut(
        stack_thickness(stack, way),
        CLOTH_MASS.gives(cloth, {"area": area} | _told_stack(stack)),
        WET_OUT.gives(resin, told, source=way.source, caution=_over_full(way)),
        FINISHED.gives(quantity(dry + wet, "g"), {"dry cloth": cloth, "resin": resin}),
    )


def way_of(fibre_volume: Quantity, source: str = "the builder's own figure") -> Way:
    """Give a way of laying with a fibre volume of the builder's own. OutOfRange unless 0 to 100 %."""
    share(fibre_volume, "fibre volume")
    return Way("as given", fibre_volume, source)


def _fibre_depth(stack: Sequence[Plies]) -> Fraction:
    """The fibre alone, as if it were melted down to a sheet, in metres."""
    if not stack:
        raise TooFew("stack", "no plies", "name at least one cloth and its number of plies")
    return sum((_areal(one) / _density(one.cloth.fibre_density, "fibre") for one in stack), Fraction(0))


def _areal(plies: Plies) -> Fraction:
    weight = above_zero(
        plies.cloth.areal_weight, f"areal weight of {plies.cloth.name}", Dimension.AREAL_WEIGHT
    )
    return number_of(plies.number, f"plies of {plies.cloth.name}") * weight


def _density(density: Quantity, what: str) -> Fraction:
    return above_zero(density, f"density of the {what}", Dimension.DENSITY)


def _share(way: Way) -> Fraction:
    return share(way.fibre_volume, "fibre volume")


def _over_full(way: Way) -> str:
    full = _share(way) > _MOST_FIBRE
    return f"Over 70 % fibre is more than any form of cloth reaches ({LECTURE})." if full else ""


def _is_one(stack: Sequence[Plies]) -> bool:
    return len(stack) == 1 and stack[0].number == 1


def _told(stack: Sequence[Plies], way: Way) -> dict[str, Value]:
    return _told_stack(stack) | {f"fibre volume, {way.name}": way.fibre_volume}


def _told_stack(stack: Sequence[Plies]) -> dict[str, Value]:
    told: dict[str, Value] = {}
    for at, plies in enumerate(stack):
        name = plies.cloth.name if len(stack) == 1 else f"{plies.cloth.name} ({at + 1})"
        told[f"plies of {name}"] = plies.number
        told[f"areal weight of {name}"] = plies.cloth.areal_weight
        told[f"fibre density of {name}"] = plies.cloth.fibre_density
    return told
