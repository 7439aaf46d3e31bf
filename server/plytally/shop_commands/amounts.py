"""How amounts come in from a command line, and how answers go out to it."""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from functools import wraps
from typing import Any

import click

from plytally.core.quantities import Quantity, Ratio, UnitError, parse_quantity
from plytally.core.shop.worked import answers, as_json, lines_of
from plytally.failing import telling_failures


class Amount(click.ParamType):  # type: ignore[type-arg]  # generic only since click 8.5
    """A number with its unit: "0.085 in"."""

    name = "amount"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Quantity:
        """Give the Quantity; a usage error that says how to write one."""
        try:
            return value if isinstance(value, Quantity) else parse_quantity(value)
        except UnitError as problem:
            self.fail(str(problem), param, ctx)


class Number(click.ParamType):  # type: ignore[type-arg]  # generic only since click 8.5
    """A plain number, kept as written."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        """Give the Decimal; a usage error for anything else."""
        try:
            return Decimal(value)
        except InvalidOperation:
            self.fail(f"{value!r} is not a number", param, ctx)


class Parts(click.ParamType):  # type: ignore[type-arg]  # generic only since click 8.5
    """A ratio of resin to hardener: "4:1"."""

    name = "ratio"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Ratio:
        """Give the Ratio; a usage error that says how to write one."""
        if isinstance(value, Ratio):
            return value
        try:
            first, second = (Decimal(part.strip()) for part in value.split(":"))
            return Ratio(first, second)
        except (ValueError, InvalidOperation) as problem:
            self.fail(f"{value!r} is not a ratio; write it like 4:1 or 100:45 ({problem})", param, ctx)


AMOUNT, NUMBER, PARTS = Amount(), Number(), Parts()

Answering = Callable[..., Any]


def answering(command: Answering) -> Answering:
    """Print what a command gives: each answer with its working, or all of it as JSON with --json.

    A command gives one result, or a list of them in which text stands for itself. A caution that several
    answers share is printed once, at the end.
    """

    @click.option("--json", "as_object", is_flag=True, help="One JSON object instead of lines.")
    @telling_failures
    @wraps(command)
    def told(*args: Any, as_object: bool, **kwargs: Any) -> None:
        given = command(*args, **kwargs)
        results = given if isinstance(given, list) else [given]
        if as_object:
            click.echo(json.dumps({"results": [as_json(result) for result in results]}, ensure_ascii=False))
            return
        for line in (line for result in results for line in _lines(result)):
            click.echo(line)
        for caution in _cautions(results):
            click.echo(f"caution: {caution}")

    return told


def named(rows: tuple[tuple[str, Any], ...], names: set[str], option: str) -> dict[str, Any]:
    """Rows of a repeated option by their name. UsageError for a name that nothing else has."""
    for name, _ in rows:
        if name not in names:
            raise click.UsageError(
                f"{option} {name!r}: there is no such name; names: {', '.join(sorted(names))}"
            )
    return dict(rows)


def _lines(result: Any) -> list[str]:
    if isinstance(result, str):
        return [result]
    return [line for answer in answers(result) for line in lines_of(answer, with_caution=False)]


def _cautions(results: list[Any]) -> list[str]:
    told = (answer.caution for result in results for answer in answers(result))
    return [caution for caution in dict.fromkeys(told) if caution]
