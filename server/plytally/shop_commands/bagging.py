"""Commands about a vacuum bag: the air here, what is possible, the drop test, the curves."""

from __future__ import annotations

from typing import Any

import click

from plytally.core.quantities import Quantity
from plytally.core.shop.atmosphere import Height, day_pressure, standard_pressure
from plytally.core.shop.bag_curve import CurvePoint, Pump
from plytally.core.shop.bag_curve import hold as held
from plytally.core.shop.bag_curve import pump_down as pumped
from plytally.core.shop.leak import LEAK_LIMITS, GaugeReading, LeakLimit
from plytally.core.shop.leak import drop_test as tested
from plytally.core.shop.vacuum import LEAST, PERFECT, absolute_pressure, clamping, enough, reachable
from plytally.core.shop.worked import Worked, shown
from plytally.shop_commands.amounts import AMOUNT, Answering, answering

_SEA = "0 ft"


def air_options(command: Answering) -> Answering:
    """The air around the bag: by elevation, and the day's altimeter setting if there is one."""
    for option in (
        click.option("--altimeter", type=AMOUNT, help="The day's altimeter setting; else a standard day."),
        click.option("--elevation", type=AMOUNT, default=_SEA, show_default=True, help="Of the shop."),
    ):
        command = option(command)
    return command


def _air(elevation: Quantity, altimeter: Quantity | None) -> Worked[Quantity]:
    return day_pressure(altimeter, elevation) if altimeter else standard_pressure(elevation)


@click.command("air")
@air_options
@click.option("--geometric", is_flag=True, help="The elevation is geometric; without an altimeter setting.")
@answering
def air(elevation: Quantity, altimeter: Quantity | None, geometric: bool) -> Any:
    """The pressure of the air at a field, on a standard day or by the day's altimeter setting.

    Example: plytally shop air --elevation "5000 ft" --altimeter "30.10 inHg"
    """
    if geometric and altimeter:
        raise click.UsageError("--geometric goes without --altimeter")
    return standard_pressure(elevation, Height.GEOMETRIC) if geometric else _air(elevation, altimeter)


@click.command("vacuum")
@click.argument("gauge", type=AMOUNT)
@air_options
@click.option("--pump-leaves", type=AMOUNT, default=str(PERFECT), show_default=True, help="Absolute.")
@click.option("--area", type=AMOUNT, help="Then also the force on this area.")
@answering
def vacuum(
    gauge: Quantity,
    elevation: Quantity,
    altimeter: Quantity | None,
    pump_leaves: Quantity,
    area: Quantity | None,
) -> Any:
    """Whether a vacuum is possible here, and if so how it presses; who asks for how much.

    Example: plytally shop vacuum "22 inHg" --elevation "5000 ft" --area "240 in2"
    """
    here = _air(elevation, altimeter)
    found = reachable(gauge, here.value, pump_leaves)
    told: list[Any] = [found.told, here, found]
    if not found.possible:
        return told
    told += [
        f"{'enough' if enough(gauge, least) else 'NOT ENOUGH'}: {least.gauge} ({least.source})"
        for least in LEAST.values()
    ]
    return [
        *told,
        absolute_pressure(gauge, here.value),
        *([clamping(gauge, area, here.value)] if area else []),
    ]


@click.command("drop-test")
@click.option("--reading", "readings", type=(AMOUNT, AMOUNT), multiple=True, metavar="AFTER GAUGE")
@click.option("--limit", type=click.Choice(list(LEAK_LIMITS)), help="A published limit.")
@click.option(
    "--own", type=(AMOUNT, AMOUNT), metavar="DROP TIME", help="Your own limit: at most DROP in TIME."
)
@answering
def drop_test(
    readings: tuple[tuple[Quantity, Quantity], ...], limit: str | None, own: tuple[Quantity, Quantity] | None
) -> Any:
    """Hold a bag's drop test against a limit that you choose.

    Example: plytally shop drop-test --limit bag --reading "0 min" "25 inHg" --reading "2 min" "24.4 inHg"
    """
    if bool(limit) is bool(own):
        offered = "; ".join(f"{name}: {published}" for name, published in LEAK_LIMITS.items())
        raise click.UsageError(f"choose one limit, --limit or --own. Published: {offered}")
    chosen = LeakLimit("own", *own, "the builder's own limit") if own else LEAK_LIMITS[str(limit)]
    found = tested([GaugeReading(*reading) for reading in readings], chosen)
    return [f"the bag {'PASSES' if found.passes else 'FAILS'}: {chosen}", found]


@click.command("pump-down")
@click.argument("wanted", type=AMOUNT)
@click.option("--bag", type=AMOUNT, required=True, help="Volume of the bag, part and tubes.")
@click.option("--pump", type=AMOUNT, required=True, help="Volume that the pump moves in a minute.")
@click.option("--pump-leaves", type=AMOUNT, default=str(PERFECT), show_default=True, help="Absolute.")
@click.option("--loss", type=AMOUNT, default=str(PERFECT), show_default=True, help="By leaks, in a minute.")
@air_options
@click.option("--points", type=click.IntRange(2, 1000), default=10, show_default=True)
@answering
def pump_down(
    wanted: Quantity,
    bag: Quantity,
    pump: Quantity,
    pump_leaves: Quantity,
    loss: Quantity,
    elevation: Quantity,
    altimeter: Quantity | None,
    points: int,
) -> Any:
    """How a bag pumps down, and when it reaches a vacuum.

    Example: plytally shop pump-down "22 inHg" --bag "60 L" --pump "20 L" --loss "0.5 inHg"
    """
    here = _air(elevation, altimeter)
    found = pumped(bag, Pump(pump, pump_leaves), here.value, wanted, loss, points)
    return [*_rows(found.points), found]


@click.command("hold")
@click.argument("start", type=AMOUNT)
@click.argument("loss", type=AMOUNT)
@click.argument("wanted", type=AMOUNT)
@click.option("--points", type=click.IntRange(2, 1000), default=10, show_default=True)
@answering
def hold(start: Quantity, loss: Quantity, wanted: Quantity, points: int) -> Any:
    """How a bag holds once the pump is off: from START, losing LOSS in the first minute, down to WANTED.

    Example: plytally shop hold "25 inHg" "0.2 inHg" "20 inHg"
    """
    found = held(start, loss, wanted, points)
    return [*_rows(found.points), found]


def _rows(points: tuple[CurvePoint, ...]) -> list[str]:
    return [f"{shown(point.after):>12}  {shown(point.gauge)}" for point in points]
