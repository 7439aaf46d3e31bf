"""The command about clocks: what runs, and the pot lives from the makers' sheets."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from plytally.core.clock_lines import running_told
from plytally.core.pot_life import ResinTimes
from plytally.core.printed import printed
from plytally.core.quantities import Quantity, UnitError, parse_quantity
from plytally.core.shop.cure import At, Timed
from plytally.failing import telling_failures
from plytally.opened import opened
from plytally.options import data_option
from plytally.workshop.print_copy import set_resin_times

HALF = "a maker's pot life is of one resin: --resin NAME --pot-life '25 min at 77 degF'"


def _row(text: str) -> At:
    """A row of a maker's table: "25 min at 77 degF"."""
    time, at, temperature = text.partition(" at ")
    if not at:
        raise click.BadParameter(
            f"{text!r} lacks the temperature it holds at; write it like: '25 min at 77 degF'",
            param_hint="--pot-life",
        )
    return At(_quantity(temperature, text), _quantity(time, text))


def _quantity(words: str, text: str) -> Quantity:
    try:
        return parse_quantity(words.strip())
    except UnitError as problem:
        raise click.BadParameter(
            f"{text!r} is no row of a maker's sheet ({problem}); write it like: '25 min at 77 degF'",
            param_hint="--pot-life",
        ) from problem


def pot_lives_told(times: ResinTimes) -> Iterator[str]:
    """The pot lives that clocks go by: what the builder gave, then what the print has besides."""
    for name, maker in times.pots.items():
        yield f"pot life of {name}: {_rows_told(maker)}, by the maker's sheet"
    for system in times.systems:
        if system.pot and system.name not in times.pots:
            cup = f" in a cup of {printed(system.cup)}" if system.cup else ""
            yield f"pot life of {system.name}: {_rows_told(system.pot)}{cup}, by the print"


def _rows_told(maker: Timed) -> str:
    rows = ((printed(row.time), printed(row.temperature)) for row in maker.rows)
    return ", ".join(f"{time} at {temperature}" for time, temperature in rows)


@click.command()
@click.option("--resin", metavar="NAME", help="The resin system, as you call it when you mix.")
@click.option(
    "--pot-life",
    "rows",
    multiple=True,
    metavar="'TIME at TEMPERATURE'",
    help="From the maker's sheet; give it again for further temperatures, the coldest first.",
)
@data_option
@telling_failures
def clocks(resin: str | None, rows: tuple[str, ...], data: Path) -> None:
    """The clocks that run; or, with --resin and --pot-life, what the maker's sheet says."""
    with opened(data) as bench:
        documents = bench.log.documents
        if bool(rows) != bool(resin):
            raise click.UsageError(HALF)
        if rows:
            set_resin_times(documents, str(resin), Timed(tuple(_row(row) for row in rows)))
        for line in pot_lives_told(bench.resin_times()):
            click.echo(line)
        if not rows:
            now = bench.now().millis
            for line in running_told(bench.clocks.running(now), now):
                click.echo(line)
