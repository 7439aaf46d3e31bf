"""`plytally find`: any entry of any year, by words, place, part of the print, batch, person, kind or days."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import click

from plytally.asking_server import ask_server, serving_at
from plytally.core.entry import KINDS
from plytally.failing import telling_failures
from plytally.find.query import MOST_COUNTED, Answer
from plytally.opened import opened
from plytally.options import data_option
from plytally.progress import counting
from plytally.showing import counted
from plytally.workshop.finding import STANDS, Finder
from plytally.workshop.places import UnknownPlace

DAY = click.DateTime(["%Y-%m-%d"])
KIND = click.Choice(sorted(KINDS))
SIGNS = {"open": "?", "unseen": " ", "accepted": "+", "withdrawn": "x"}


@click.command()
@click.argument("words", nargs=-1)
@click.option("--at", default="", help='Every entry that ever touched a place: "left elevator spar".')
@click.option("--kind", type=KIND, metavar="KIND", help=f"Of one kind: {', '.join(KIND.choices)}.")
@click.option("--material", default="", help="The material, as it is on the print.")
@click.option("--resin", default="", help="The resin.")
@click.option("--batch", default="", help="The batch, of cloth or resin.")
@click.option("--author", default="", help="Who noted it, by role.")
@click.option("--stands", type=click.Choice(STANDS), help="How it stands at the desk.")
@click.option("--from", "first_day", type=DAY, metavar="DAY", help="The first day, such as 2026-03-01.")
@click.option("--to", "last_day", type=DAY, metavar="DAY", help="The last day.")
@click.option("--photos", is_flag=True, help="Only entries with a photo.")
@click.option("--last", "limit", type=click.IntRange(1, 200), default=50, show_default=True, help="At most.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line, a line an entry.")
@data_option
@telling_failures
def find(words: Sequence[str], as_json: bool, data: Path, **asked: Any) -> None:
    """Find entries, the latest first; words anywhere in them, also in what was changed since."""
    asked = {name: _plain(value) for name, value in asked.items()} | {"words": " ".join(words)}
    serving = serving_at(data)
    found = _from_server(serving, asked) if serving else _from_log(data, asked)
    _show(found, as_json=as_json)


def _plain(value: Any) -> Any:
    return value.date().isoformat() if isinstance(value, datetime) else "" if value is None else value


def _from_server(serving: Mapping[str, Any], asked: Mapping[str, Any]) -> Answer:
    """What the running server finds: it has the log, and its index is ready."""
    words = {name: "yes" if value is True else value for name, value in asked.items() if value}
    told = ask_server(serving, "GET", f"/api/desk/find?{urlencode(words)}")
    return Answer(tuple(told["rows"]), told["count"])


def _from_log(data: Path, asked: dict[str, Any]) -> Answer:
    names = {name: asked.pop(name) for name in ("material", "resin", "batch")}
    stands = [each for each in (asked.pop("stands"),) if each]
    with opened(data) as bench, counting("reading the log") as progress:
        finder = Finder(bench, progress)
        try:
            return finder.find(asked.pop("words"), names=names, stands=stands, **asked)
        except UnknownPlace as problem:
            raise click.BadParameter(str(problem), param_hint="--at") from problem
        finally:
            finder.close()


def _show(answer: Answer, *, as_json: bool) -> None:
    for row in answer.rows:
        if as_json:
            click.echo(json.dumps(row))
        else:
            click.echo(f"{row['wall'][:16].replace('T', ' ')} {SIGNS[row['stands']]} {row['line']}")
    if not as_json:
        some = f"more than {MOST_COUNTED}" if answer.count > MOST_COUNTED else ""
        click.echo(f"{some} entries" if some else counted(answer.count, "entry", "entries"))
