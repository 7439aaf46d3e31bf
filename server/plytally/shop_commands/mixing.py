"""Commands about resin: batches and cups, misweighing, ratios, pot life and cure."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import click

from plytally.core.quantities import Quantity, Ratio
from plytally.core.shop.cure import PER, At, RateLaw, Timed
from plytally.core.shop.cure import time_at as at_temperature
from plytally.core.shop.cure_clock import Reading, run_clock
from plytally.core.shop.resin import (
    COMMON_POT,
    NO_WASTE,
    Batch,
    By,
    Spread,
    batch_for_area,
    batch_for_plies,
    batch_with,
    cups,
    ratio_by_volume,
    ratio_by_weight,
    split,
)
from plytally.core.shop.weighing import ALLOWED, least_mix, scaled
from plytally.core.shop.weighing import weighed as held
from plytally.shop_commands.amounts import AMOUNT, NUMBER, PARTS, Answering, answering
from plytally.shop_commands.laying import stack_of, stack_options, way_named

_by = click.option(
    "--by-volume", is_flag=True, help="The ratio counts volume; amounts are then volumes. Else weight."
)


@click.command("mix")
@click.argument("ratio", type=PARTS)
@_by
@click.option("--whole", type=AMOUNT, help="So much mix.")
@click.option("--resin", type=AMOUNT, help="Or: the mix with so much resin.")
@click.option("--area", type=AMOUNT, help="Or: a mix for this area, with --each or --plies.")
@click.option(
    "--each", type=(AMOUNT, AMOUNT), metavar="MIX AREA", help='So much mix on so much: "2 g" "1 in2".'
)
@stack_options
@click.option("--waste", type=AMOUNT, default=str(NO_WASTE), show_default=True, help="Left in cup and brush.")
@click.option("--cup", type=AMOUNT, help=f"Most in a cup; {COMMON_POT} is a common pot.")
@answering
def mix(ratio: Ratio, by_volume: bool, cup: Quantity | None, **asked: Any) -> Any:
    """Resin and hardener for a mix, an area or plies; in several cups with --cup.

    Example: plytally shop mix 4:1 --area "240 in2" --each "2 g" "1 in2" --cup "100 g"
    """
    by = By.VOLUME if by_volume else By.WEIGHT
    batch = _batch(ratio, by, **asked)
    return [batch, *([cups(batch.mix.value, ratio, cup, by)] if cup else [])]


def _batch(
    ratio: Ratio,
    by: By,
    *,
    whole: Quantity | None,
    resin: Quantity | None,
    area: Quantity | None,
    each: tuple[Quantity, Quantity] | None,
    rows: tuple[tuple[int, Quantity], ...],
    fibre: str,
    density: Quantity | None,
    way: str,
    volume: Quantity | None,
    waste: Quantity,
) -> Batch:
    if [whole is None, resin is None, area is None].count(False) != 1:
        raise click.UsageError("give one of --whole, --resin and --area")
    if whole:
        return split(whole, ratio, by)
    if resin:
        return batch_with(resin, ratio, by)
    if area is None or bool(each) is bool(rows):
        raise click.UsageError("--area goes with --each MIX AREA or with --plies N WEIGHT")
    if each:
        return batch_for_area(area, Spread(*each), ratio, by)
    if by is By.VOLUME:
        raise click.UsageError("plies are reckoned by weight: give the ratio by weight (plytally shop ratio)")
    return batch_for_plies(stack_of(rows, fibre, density), area, ratio, way_named(way, volume), waste)


@click.command("weighed")
@click.argument("ratio", type=PARTS)
@click.argument("resin", type=AMOUNT)
@click.argument("hardener", type=AMOUNT)
@_by
@click.option("--allowed", type=AMOUNT, default=str(ALLOWED), show_default=True)
@answering
def weighed(ratio: Ratio, resin: Quantity, hardener: Quantity, by_volume: bool, allowed: Quantity) -> Any:
    """What is wrong with what was weighed into a cup, and what to add before mixing.

    Example: plytally shop weighed 4:1 "400 g" "104 g"
    """
    found = held(ratio, resin, hardener, By.VOLUME if by_volume else By.WEIGHT, allowed)
    verdict = "within" if found.within else "OUT OF"
    return [f"the cup is {verdict} the {allowed} allowed", found]


@click.command("scale")
@click.argument("ratio", type=PARTS)
@click.argument("step", type=AMOUNT)
@click.option("--mix", "whole", type=AMOUNT, help="Then also how far off this mix can be.")
@click.option("--allowed", type=AMOUNT, default=str(ALLOWED), show_default=True)
@answering
def scale(ratio: Ratio, step: Quantity, whole: Quantity | None, allowed: Quantity) -> Any:
    """The smallest mix that a scale with such steps weighs well enough.

    Example: plytally shop scale 4:1 "1 g" --mix "200 g"
    """
    return [least_mix(ratio, step, allowed), *([scaled(whole, ratio, step)] if whole else [])]


@click.command("ratio")
@click.argument("ratio", type=PARTS)
@click.argument("resin_density", type=AMOUNT)
@click.argument("hardener_density", type=AMOUNT)
@click.option("--by-weight", is_flag=True, help="The ratio given is by weight: tell it by volume.")
@answering
def ratio(ratio: Ratio, resin_density: Quantity, hardener_density: Quantity, by_weight: bool) -> Any:
    """A ratio by volume told by weight, or the other way round.

    Example: plytally shop ratio 2:1 "1.15 g/cm3" "0.97 g/cm3"
    """
    return (ratio_by_volume if by_weight else ratio_by_weight)(ratio, resin_density, hardener_density)


def maker_options(command: Answering) -> Answering:
    """What the maker says of a time, and how it changes with temperature."""
    for option in (
        click.option("--per", type=AMOUNT, default=str(PER), show_default=True, help="Of warming."),
        click.option("--factor", type=NUMBER, default="2", show_default=True, help="Faster for each --per."),
        click.option("--what", default="pot life", show_default=True, help="What the time is: cure, gel …"),
        click.option(
            "--maker",
            "rows",
            type=(AMOUNT, AMOUNT),
            multiple=True,
            required=True,
            metavar="TEMPERATURE TIME",
            help="The maker's time at a temperature; again for each row, coldest first.",
        ),
    ):
        command = option(command)
    return command


def _timed(rows: tuple[tuple[Quantity, Quantity], ...], what: str, factor: Decimal, per: Quantity) -> Timed:
    return Timed(tuple(At(*row) for row in rows), RateLaw(factor, per), what)


@click.command("time-at")
@click.argument("temperature", type=AMOUNT)
@maker_options
@answering
def time_at(
    temperature: Quantity,
    rows: tuple[tuple[Quantity, Quantity], ...],
    what: str,
    factor: Decimal,
    per: Quantity,
) -> Any:
    """Pot life, gel or cure at a temperature.

    Example: plytally shop time-at "90 degF" --maker "72 degF" "30 min"
    """
    return at_temperature(_timed(rows, what, factor, per), temperature)


@click.command("clock")
@click.argument("now", type=AMOUNT)
@click.option("--reading", "readings", type=(AMOUNT, AMOUNT), multiple=True, metavar="AFTER TEMPERATURE")
@click.option("--stops-below", type=AMOUNT, help="The maker's lowest temperature of cure.")
@maker_options
@answering
def clock(
    now: Quantity,
    readings: tuple[tuple[Quantity, Quantity], ...],
    stops_below: Quantity | None,
    rows: tuple[tuple[Quantity, Quantity], ...],
    what: str,
    factor: Decimal,
    per: Quantity,
) -> Any:
    """How far a pot or a cure has come NOW after mixing, by the temperatures logged on the way.

    Example: plytally shop clock "6 h" --what cure --maker "77 degF" "24 h" --reading "0 h" "70 degF"
    """
    track = [Reading(*reading) for reading in readings]
    return run_clock(_timed(rows, what, factor, per), track, now, stops_below)
