"""Cards about a laminate: thickness, resin and weight, the builder's own ply, plies for a build-up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, Holds, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.coupon import PerPly, correction
from plytally.core.shop.coupon import plies_for as needed
from plytally.core.shop.laminate import (
    EPOXY_DENSITY,
    FIBRE_DENSITIES,
    WAYS,
    Cloth,
    Plies,
    Way,
    fibre_volume,
    fibre_volume_by_mass,
    stack_thickness,
    way_of,
    wet_out,
)

FIBRES = {name.lower(): density for name, (density, _) in FIBRE_DENSITIES.items()}
PLY_THICKNESS = "ply thickness"
"""What a kept card calls the builder's own thickness per ply, so that later questions find it."""

Rows = tuple[tuple[int, Quantity], ...]

_PLIES = Ask("number", "Plies", Holds.COUNT, needed=True)
STACK = (
    Asks(
        "plies",
        "Plies of a cloth",
        (_PLIES, Ask("weight", "Dry weight of the cloth", Dimension.AREAL_WEIGHT, needed=True)),
        "So many plies of a dry areal weight; again for another cloth.",
        most=8,
    ),
    Ask("fibre", "Fibre", Holds.CHOICE, usual="e-glass", choices=tuple(FIBRES), rare=True),
    Ask("density", "Density of the fibre", Dimension.DENSITY, "In place of the fibre's.", rare=True),
    Ask(
        "way",
        "Way of laying",
        Holds.CHOICE,
        usual="hand",
        choices=tuple(WAYS),
        meanings=tuple(f"{way.fibre_volume} of it fibre" for way in WAYS.values()),
    ),
    Ask("fibre_volume", "Fibre volume", Dimension.FRACTION, "Your own, in place of the way's.", rare=True),
)


def stack_of(rows: Rows, fibre: str, density: Quantity | None) -> list[Plies]:
    """The stack that the inputs describe."""
    return [
        Plies(number, Cloth(f"{weight} cloth", weight, density or FIBRES[fibre])) for number, weight in rows
    ]


def way_named(way: str, volume: Quantity | None) -> Way:
    """The way of laying that the inputs describe."""
    return way_of(volume) if volume else WAYS[way]


def thickness(
    plies: Rows,
    fibre: str,
    density: Quantity | None,
    way: str,
    fibre_volume: Quantity | None,
    area: Quantity | None,
    measured: Quantity | None,
    weighed: tuple[Quantity, Quantity] | None,
    resin_density: Quantity,
) -> Told:
    """Thickness; over an area also cloth, resin and weight; of a measured stack its fibre volume."""
    stack, laid = stack_of(plies, fibre, density), way_named(way, fibre_volume)
    first = wet_out(stack, area, laid, resin_density) if area else stack_thickness(stack, laid)
    told: list[Any] = [first, *([_volume(stack, measured)] if measured else [])]
    by_mass = fibre_volume_by_mass(*weighed, density or FIBRES[fibre], resin_density) if weighed else None
    return [*told, *([by_mass] if by_mass else [])]


def own_ply(
    coupon: tuple[tuple[Quantity, int], ...],
    step: tuple[tuple[Quantity, Quantity, int], ...],
    calculated: Quantity | None,
    build_up: Quantity | None,
    material: str | None,
) -> Told:
    """The running estimate of the builder's own ply, held against the calculated one, and what it makes."""
    own = _own(coupon, step)
    each, spread = own.thickness(), own.spread() if own.number > 1 else None
    told: list[Any] = [f"of {material}"] if material else []
    told += [each, *([spread] if spread else [])]
    told += [correction(each.value, calculated)] if calculated else []
    return [*told, needed(build_up, each.value, spread.value if spread else None)] if build_up else told


def keeps_own_ply(
    coupon: tuple[tuple[Quantity, int], ...],
    step: tuple[tuple[Quantity, Quantity, int], ...],
    material: str | None,
    **_rest: Any,
) -> Mapping[str, Any]:
    """The builder's own ply of a material, for later sums to start from; nothing where none is named."""
    if not material:
        return {}
    return {
        "quality": PLY_THICKNESS,
        "material": material,
        "measure": _own(coupon, step).thickness().value.to("mil"),
    }


def plies_for(build_up: Quantity, per_ply: Quantity, spread: Quantity | None) -> Told:
    """Plies for a wanted build-up, and what is still short of it."""
    return [needed(build_up, per_ply, spread)]


_volume = fibre_volume


def _own(
    coupons: tuple[tuple[Quantity, int], ...], steps: tuple[tuple[Quantity, Quantity, int], ...]
) -> PerPly:
    own = PerPly()
    for thick, plies in coupons:
        own = own.with_coupon(thick, plies)
    for before, after, plies in steps:
        own = own.with_step(before, after, plies)
    return own


_MIL = ("mil", "in", "mm")
LAYING = (
    Card(
        "thickness",
        "Thickness and resin of a stack",
        "Laminate",
        "How thick a stack comes out; over an area also the resin to wet it out and its weight.",
        'thickness --plies 10 "6 oz/yd2" --area "2 ft2"',
        (
            *STACK,
            Ask("area", "Over an area", Dimension.AREA, "Then also cloth, resin and weight over this area."),
            Ask(
                "measured",
                "Measured thickness",
                Dimension.LENGTH,
                "A measured thickness: then also its fibre volume.",
                units=_MIL,
                rare=True,
            ),
            Asks(
                "weighed",
                "Fibre and resin of a piece, weighed",
                (
                    Ask("fibre", "Dry fibre", Dimension.MASS, needed=True),
                    Ask("resin", "Resin in it", Dimension.MASS, needed=True),
                ),
                "Then also the fibre volume that these make.",
                rare=True,
            ),
            Ask(
                "resin_density",
                "Density of the resin",
                Dimension.DENSITY,
                usual=str(EPOXY_DENSITY),
                rare=True,
            ),
        ),
        thickness,
    ),
    Card(
        "plies-for",
        "Plies for a build-up",
        "Laminate",
        "Plies for a wanted build-up, and what is still short of it.",
        'plies-for "0.080 in" "0.010 in" --spread "0.0006 in"',
        (
            Ask("build_up", "Build-up", Dimension.LENGTH, units=_MIL, needed=True, first=True),
            Ask("per_ply", "Thickness of a ply", Dimension.LENGTH, units=_MIL, needed=True, first=True),
            Ask(
                "spread",
                "Spread of it",
                Dimension.LENGTH,
                "Standard deviation of the thickness per ply.",
                units=_MIL,
                rare=True,
            ),
        ),
        plies_for,
    ),
    Card(
        "own-ply",
        "Your own ply, measured",
        "Laminate",
        "Your own thickness per ply, from coupons and steps that you measured.",
        'own-ply --coupon "0.052 in" 5 --coupon "0.049 in" 5 --build-up "0.080 in"',
        (
            Asks(
                "coupon",
                "Coupons",
                (Ask("thickness", "Thickness", Dimension.LENGTH, units=_MIL, needed=True), _PLIES),
                most=12,
                shown=2,
            ),
            Asks(
                "step",
                "Steps, before and after",
                (
                    Ask("before", "Before", Dimension.LENGTH, units=_MIL, needed=True),
                    Ask("after", "After", Dimension.LENGTH, units=_MIL, needed=True),
                    _PLIES,
                ),
                most=12,
            ),
            Ask(
                "material",
                "Material",
                Holds.NAME,
                "Kept with it, it is what later questions about that cloth are answered from.",
            ),
            Ask(
                "calculated",
                "Calculated ply",
                Dimension.LENGTH,
                "Then also your own against it.",
                units=_MIL,
                rare=True,
            ),
            Ask(
                "build_up",
                "For a build-up",
                Dimension.LENGTH,
                "Then also the plies for this build-up.",
                units=_MIL,
            ),
        ),
        own_ply,
        keeps_own_ply,
    ),
)
