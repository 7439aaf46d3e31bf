"""`plytally find`: any entry of any year, by words, place, part of the print, batch, person, kind or days."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from plytally.core.entry import KINDS
from plytally.failing import telling_failures
from plytally.find.query import MOST_COUNTED, Answer
from plytally.opened import opened
from plytally.options import data_option
from plytally.progress import counting
from plytally.showing import counted
from plytally.workshop.finding import STANDS, Finder
from plytally.workshop.places import UnknownPlace

SIGNS = {"open": "?", "unseen": " ", "accepted": "+", "withdrawn": "x"}


@click.command()
@click.argument("words", nargs=-1)
@click.option("--at", default="", help='Every entry that ever touched a place: "left elevator spar".')
@click.option("--kind", type=click.Choice(sorted(KINDS)), help="Entries of one kind.")
@click.option("--material", default="", help="The material, as it is on the print.")
@click.option("--resin", default="", help="The resin.")
@click.option("--batch", default="", help="The batch, of cloth or resin.")
@click.option("--author", default="", help="Who noted it, by role.")
@click.option("--stands", type=click.Choice(STANDS), multiple=True, help="How it stands; may be repeated.")
@click.option("--from", "first_day", default="", help="The first day, such as 2026-03-01.")
@click.option("--to", "last_day", default="", help="The last day.")
@click.option("--photos", is_flag=True, help="Only entries with a photo.")
@click.option("--last", "limit", type=click.IntRange(1, 200), default=50, show_default=True, help="At most.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line, a line an entry.")
@data_option
@telling_failures
def find(words: Sequence[str], as_json: bool, data: Path, **asked: Any) -> None:
    """Find entries, the latest first; words anywhere in them, also in what was changed since."""
    names = {name: asked.pop(name) for name in ("material", "resin", "batch")}
    asked["kind"] = asked["kind"] or ""
    with opened(data) as bench, counting("reading the log") as progress:
        finder = Finder(bench, progress)
        try:
            answer = finder.find(" ".join(words), names=names, **asked)
        except UnknownPlace as problem:
            raise click.BadParameter(str(problem), param_hint="--at") from problem
        finally:
            finder.close()
    _show(answer, as_json=as_json)


def _show(answer: Answer, *, as_json: bool) -> None:
    for row in answer.rows:
        if as_json:
            click.echo(json.dumps(row))
        else:
            click.echo(f"{row['wall'][:16].replace('T', ' ')} {SIGNS[row['stands']]} {row['line']}")
    if not as_json:
        some = f"more than {MOST_COUNTED}" if answer.count > MOST_COUNTED else ""
        click.echo(f"{some} entries" if some else counted(answer.count, "entry", "entries"))
