"""Commands about fit: spacers, straightness, hinges in line, balance."""

from __future__ import annotations

from typing import Any

import click

from plytally.core.quantities import Quantity
from plytally.core.shop.balance import LEVEL, Item, Limits, arm_for, paint, weight_at, within
from plytally.core.shop.balance import balance as balanced
from plytally.core.shop.hinges import Hinge, Through, hinge_line
from plytally.core.shop.stack import NOTHING, STIFF, SpacerKind, nearest_spacer, pick_spacer
from plytally.core.shop.straightness import Against, Station, heights_from_steps, spots, straightness
from plytally.shop_commands.amounts import AMOUNT, answering, named

_AGAINST = {choice.name.lower().replace("_", "-"): choice for choice in Against}
_THROUGH = {choice.name.lower().replace("_", "-"): choice for choice in Through}

NamedAmounts = tuple[tuple[str, Quantity], ...]


@click.command("spacer")
@click.argument("target", type=AMOUNT)
@click.argument("tolerance", type=AMOUNT)
@click.option("--piece", "pieces", type=(str, AMOUNT, int), multiple=True, metavar="NAME THICKNESS ON-HAND")
@click.option("--squeeze", type=(str, AMOUNT), multiple=True, metavar="NAME PERCENT", help="By the clamp.")
@click.option("--varies", type=(str, AMOUNT), multiple=True, metavar="NAME LENGTH", help="Plus or minus.")
@click.option(
    "--clamp-takes", type=AMOUNT, default=str(NOTHING), show_default=True, help="Of the whole stack."
)
@click.option("--nearest", is_flag=True, help="Nearest first, however many pieces it takes.")
@answering
def spacer(
    target: Quantity,
    tolerance: Quantity,
    pieces: tuple[tuple[str, Quantity, int], ...],
    squeeze: NamedAmounts,
    varies: NamedAmounts,
    clamp_takes: Quantity,
    nearest: bool,
) -> Any:
    """Stack what is on hand to a thickness: fewest pieces within the tolerance, then nearest.

    Example: plytally shop spacer "0.080 in" "0.001 in" --piece washer "0.070 in" 8 --piece tape "0.0045 in" 8
    --clamp-takes "0.008 in"
    """
    names = {name for name, _, _ in pieces}
    soft, loose = named(squeeze, names, "--squeeze"), named(varies, names, "--varies")
    kinds = [
        SpacerKind(name, thick, number, soft.get(name, STIFF), loose.get(name, NOTHING))
        for name, thick, number in pieces
    ]
    found = (nearest_spacer if nearest else pick_spacer)(target, tolerance, kinds, clamp_takes)
    listed = " and ".join(f"{one.number} of {one.kind.name}" for one in found.pieces)
    return [f"take {listed}" if found.fits else f"NOTHING FITS; the nearest is {listed}", found]


@click.command("straight")
@click.option("--at", "stations", type=(AMOUNT, AMOUNT), multiple=True, metavar="STATION HEIGHT")
@click.option("--steps", is_flag=True, help="The heights are steps from one station to the next.")
@click.option("--allowed", type=AMOUNT, help="The straightness allowed: then also the spots beyond it.")
@click.option("--against", type=click.Choice(list(_AGAINST)), default="zone", show_default=True)
@click.option("--per-ply", type=AMOUNT, help="Then also how many plies, and how much filler.")
@answering
def straight(
    stations: tuple[tuple[Quantity, Quantity], ...],
    steps: bool,
    allowed: Quantity | None,
    against: str,
    per_ply: Quantity | None,
) -> Any:
    """How straight a surface is, and what to take off or build up where.

    Example: plytally shop straight --at "0 in" "0 mil" --at "20 in" "12 mil" --at "40 in" "0 mil"
    --allowed "5 mil" --per-ply "10 mil"
    """
    row = tuple(Station(*station) for station in stations)
    heights = heights_from_steps(row) if steps else row
    told: list[Any] = [straightness(heights)]
    if allowed is None:
        return told
    found = spots(heights, allowed, _AGAINST[against], per_ply)
    told += [f"{len(found)} spot(s) beyond {allowed}, against {_AGAINST[against].value}"]
    for spot in found:
        told += [f"at {spot.at}:", spot]
    return told


@click.command("hinges")
@click.option("--hinge", "rows", type=(str, AMOUNT, AMOUNT), multiple=True, metavar="NAME SPAN UP")
@click.option("--aft", type=(str, AMOUNT), multiple=True, metavar="NAME AFT", help="For each hinge, or none.")
@click.option("--through", type=click.Choice(list(_THROUGH)), default="ends", show_default=True)
@answering
def hinges(rows: tuple[tuple[str, Quantity, Quantity], ...], aft: NamedAmounts, through: str) -> Any:
    """Whether three hinges or more lie in one line.

    Example: plytally shop hinges --hinge 1 "0 in" "0 in" --hinge 2 "30 in" "0.043 in"
    --hinge 3 "60 in" "0.02 in"
    """
    deep = named(aft, {name for name, _, _ in rows}, "--aft")
    found = hinge_line([Hinge(name, span, up, deep.get(name)) for name, span, up in rows], _THROUGH[through])
    return [f"worst: {found.worst}", found]


@click.command("balance")
@click.option("--item", "items", type=(str, AMOUNT, AMOUNT), multiple=True, metavar="NAME WEIGHT ARM")
@click.option("--paint", "coat", type=(AMOUNT, AMOUNT, AMOUNT), metavar="AREA AREAL-WEIGHT ARM")
@click.option("--lead-arm", type=AMOUNT, help="Then also the weight that balances it from there.")
@click.option("--lead", type=AMOUNT, help="Then also the arm at which this weight balances it.")
@click.option("--target", type=AMOUNT, default=str(LEVEL), show_default=True, help="The moment aimed at.")
@click.option("--limits", type=(AMOUNT, AMOUNT, str), metavar="LEAST MOST REFERENCE", help="From the plans.")
@answering
def balance(
    items: tuple[tuple[str, Quantity, Quantity], ...],
    coat: tuple[Quantity, Quantity, Quantity] | None,
    lead_arm: Quantity | None,
    lead: Quantity | None,
    target: Quantity,
    limits: tuple[Quantity, Quantity, str] | None,
) -> Any:
    """Static balance of a control surface about its hinge; arms ahead of the hinge are negative.

    Example: plytally shop balance --item skins "1.8 lb" "5 in" --item horn "0.6 lb" "-4 in"
    --lead-arm "-4 in"
    """
    painted = paint(*coat) if coat else None
    parts = [Item(*item) for item in items]
    parts += [Item("paint", painted.mass.value, coat[2])] if painted and coat else []
    found = balanced(parts)
    moment = found.total.value
    told: list[Any] = [painted, found] if painted else [found]
    if limits:
        ruled = Limits(*limits)
        verdict = "within" if within(moment, ruled) else "OUT OF"
        told.insert(0, f"{verdict} {ruled.least} to {ruled.most} ({ruled.reference})")
    told += [weight_at(moment, lead_arm, target)] if lead_arm else []
    return [*told, *([arm_for(moment, lead, target)] if lead else [])]
