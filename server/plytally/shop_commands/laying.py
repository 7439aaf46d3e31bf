"""Commands about a laminate: thickness, resin and weight, the builder's own ply, plies for a build-up."""

from __future__ import annotations

from typing import Any

import click

from plytally.core.quantities import Quantity
from plytally.core.shop.coupon import PerPly
from plytally.core.shop.coupon import plies_for as needed
from plytally.core.shop.laminate import (
    EPOXY_DENSITY,
    FIBRE_DENSITIES,
    WAYS,
    Cloth,
    Plies,
    Way,
    fibre_volume,
    stack_thickness,
    way_of,
    wet_out,
)
from plytally.shop_commands.amounts import AMOUNT, Answering, answering

_FIBRES = {name.lower(): density for name, (density, _) in FIBRE_DENSITIES.items()}


def stack_options(command: Answering) -> Answering:
    """The plies of a stack, their fibre, and the way of laying them."""
    for option in (
        click.option(
            "--fibre-volume", "volume", type=AMOUNT, help="Your own fibre volume, in place of --way."
        ),
        click.option("--way", type=click.Choice(list(WAYS)), default="hand", show_default=True),
        click.option("--density", type=AMOUNT, help="Density of the fibre, in place of --fibre."),
        click.option("--fibre", type=click.Choice(list(_FIBRES)), default="e-glass", show_default=True),
        click.option(
            "--plies",
            "rows",
            type=(int, AMOUNT),
            multiple=True,
            metavar="N WEIGHT",
            help="So many plies of a dry areal weight; again for another cloth.",
        ),
    ):
        command = option(command)
    return command


def stack_of(rows: tuple[tuple[int, Quantity], ...], fibre: str, density: Quantity | None) -> list[Plies]:
    """The stack that the options describe."""
    return [
        Plies(number, Cloth(f"{weight} cloth", weight, density or _FIBRES[fibre])) for number, weight in rows
    ]


def way_named(way: str, volume: Quantity | None) -> Way:
    """The way of laying that the options describe."""
    return way_of(volume) if volume else WAYS[way]


@click.command("thickness")
@stack_options
@click.option("--area", type=AMOUNT, help="Then also cloth, resin and weight over this area.")
@click.option("--measured", type=AMOUNT, help="A measured thickness: then also its fibre volume.")
@click.option("--resin-density", type=AMOUNT, default=str(EPOXY_DENSITY), show_default=True)
@answering
def thickness(
    rows: tuple[tuple[int, Quantity], ...],
    fibre: str,
    density: Quantity | None,
    way: str,
    volume: Quantity | None,
    area: Quantity | None,
    measured: Quantity | None,
    resin_density: Quantity,
) -> Any:
    """How thick a stack comes out; over an area also the resin to wet it out and its weight.

    Example: plytally shop thickness --plies 10 "6 oz/yd2" --area "2 ft2"
    """
    stack, laid = stack_of(rows, fibre, density), way_named(way, volume)
    first = wet_out(stack, area, laid, resin_density) if area else stack_thickness(stack, laid)
    return [first, *([fibre_volume(stack, measured)] if measured else [])]


@click.command("own-ply")
@click.option("--coupon", "coupons", type=(AMOUNT, int), multiple=True, metavar="THICKNESS PLIES")
@click.option("--step", "steps", type=(AMOUNT, AMOUNT, int), multiple=True, metavar="BEFORE AFTER PLIES")
@click.option("--build-up", type=AMOUNT, help="Then also the plies for this build-up.")
@answering
def own_ply(
    coupons: tuple[tuple[Quantity, int], ...],
    steps: tuple[tuple[Quantity, Quantity, int], ...],
    build_up: Quantity | None,
) -> Any:
    """Your own thickness per ply, from coupons and steps that you measured.

    Example: plytally shop own-ply --coupon "0.052 in" 5 --coupon "0.049 in" 5 --build-up "0.080 in"
    """
    own = PerPly()
    for thick, plies in coupons:
        own = own.with_coupon(thick, plies)
    for before, after, plies in steps:
        own = own.with_step(before, after, plies)
    each, spread = own.thickness(), own.spread() if own.number > 1 else None
    told = [each, *([spread] if spread else [])]
    return [*told, needed(build_up, each.value, spread.value if spread else None)] if build_up else told


@click.command("plies-for")
@click.argument("build_up", type=AMOUNT)
@click.argument("per_ply", type=AMOUNT)
@click.option("--spread", type=AMOUNT, help="Standard deviation of the thickness per ply.")
@answering
def plies_for(build_up: Quantity, per_ply: Quantity, spread: Quantity | None) -> Any:
    """Plies for a wanted build-up, and what is still short of it.

    Example: plytally shop plies-for "0.080 in" "0.010 in" --spread "0.0006 in"
    """
    return needed(build_up, per_ply, spread)
