"""The command about clocks: what runs, and the pot lives from the makers' sheets."""

from __future__ import annotations

from pathlib import Path

import click

from plytally.core.clock_lines import running_told
from plytally.core.quantities import Quantity, UnitError, format_quantity, parse_quantity
from plytally.core.shop.cure import At, Timed
from plytally.failing import telling_failures
from plytally.opened import opened
from plytally.options import data_option
from plytally.workshop.print_copy import resin_times, set_resin_times


def _row(text: str) -> At:
    """A row of a maker's table: "25 min at 77 degF"."""
    time, _, temperature = text.partition(" at ")
    return At(_quantity(temperature, text), _quantity(time, text))


def _quantity(words: str, text: str) -> Quantity:
    try:
        return parse_quantity(words.strip())
    except UnitError as problem:
        raise click.BadParameter(
            f"{text!r} is no row of a maker's sheet ({problem}); write it like: '25 min at 77 degF'",
            param_hint="--pot-life",
        ) from problem


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
        if rows:
            if not resin:
                raise click.UsageError("say which resin system the pot life is of: --resin NAME")
            set_resin_times(documents, resin, Timed(tuple(_row(row) for row in rows)))
        for name, maker in resin_times(documents).pots.items():
            told = ", ".join(
                f"{format_quantity(row.time)} at {format_quantity(row.temperature)}" for row in maker.rows
            )
            click.echo(f"pot life of {name}: {told}, by the maker's sheet")
        if not rows:
            now = bench.now().millis
            for line in running_told(bench.clocks.running(now), now):
                click.echo(line)
