"""What a card tells, printed: each answer with its working, or all of it as one JSON object."""

from __future__ import annotations

import json
from typing import Any

import click

from plytally.core.cards.card import Curve, Told
from plytally.core.cards.telling import cautions
from plytally.core.shop.worked import answers, as_json, lines_of, shown


def print_lines(told: Told) -> None:
    """Print answers; a caution that several of them share is printed once, at the end."""
    for line in (line for result in told for line in _lines(result)):
        click.echo(line)
    for caution in cautions(told):
        click.echo(f"caution: {caution}")


def print_json(told: Told) -> None:
    """Print one JSON object."""
    click.echo(json.dumps({"results": [as_json(result) for result in told]}, ensure_ascii=False))


def _lines(result: Any) -> list[str]:
    if isinstance(result, str):
        return [result]
    if isinstance(result, Curve):
        return [
            f"{shown(point.after):>12}  {shown(point.gauge)}"
            for line in result.lines
            if line.drawn == "reckoned"
            for point in line.points
        ]
    return [line for answer in answers(result) for line in lines_of(answer, with_caution=False)]
