"""A command out of a card: its inputs as arguments and options, its answers as lines or as JSON.

A row of inputs is one option with several values, given again for the next row. What a row may leave out is
an option of its own, by the row's name: --squeeze tape "20 %".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import click

from plytally.core.cards.card import Ask, Asks, Card, CardError, Holds, Input, Told
from plytally.core.cards.reading import value
from plytally.failing import telling_failures
from plytally.shop_commands.printing import print_json, print_lines


class Asked(click.ParamType):  # type: ignore[type-arg]  # generic only since click 8.5
    """One input of a card, read as the phone reads it."""

    def __init__(self, ask: Ask) -> None:
        self.ask, self.name = ask, ask.name

    def convert(self, value_given: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Give the value; a usage error that says how to write one."""
        if not isinstance(value_given, str):
            return value_given
        try:
            return value(self.ask, value_given)
        except CardError as problem:
            self.fail(problem.problem, param, ctx)


def command_of(card: Card) -> click.Command:
    """The command that asks a card."""

    @telling_failures
    def asked(as_object: bool, **given: Any) -> None:
        try:
            told = card.work(**{each.name: _together(each, given) for each in card.inputs})
        except CardError as problem:
            raise click.UsageError(str(problem)) from problem
        (print_json if as_object else print_lines)(told)

    return click.Command(
        card.name,
        params=[param for each in card.inputs for param in _params(each)] + [_JSON],
        callback=asked,
        help=f"{card.says}\n\nExample: plytally shop {card.example}",
        short_help=card.says,
    )


_JSON = click.Option(["--json", "as_object"], is_flag=True, help="One JSON object instead of lines.")


def _params(each: Input) -> Iterator[click.Parameter]:
    if isinstance(each, Asks):
        yield _row(each)
        for column in each.apart:
            yield click.Option(
                [_flag(column.name), _apart(each, column)],
                type=(str, Asked(column)),
                multiple=True,
                metavar=f"NAME {column.holds.value.upper()}",
                help=column.hint or None,
            )
    elif each.first:
        yield click.Argument([each.name], type=_type(each))
    elif each.holds is Holds.YES:
        yield click.Option([_flag(each.name), each.name], is_flag=True, help=each.hint or None)
    else:
        yield click.Option(
            [_flag(each.name), each.name],
            type=_type(each),
            default=each.usual or None,
            show_default=bool(each.usual),
            required=each.needed,
            metavar=None if each.holds is Holds.CHOICE else each.holds.value.upper(),
            help=each.hint or None,
        )


def _row(each: Asks) -> click.Option:
    return click.Option(
        [_flag(each.name), each.name],
        type=tuple(_type(column) for column in each.together),
        multiple=each.most > 1,
        required=each.needed,
        metavar=" ".join(column.name.upper().replace("_", "-") for column in each.together),
        help=each.hint or None,
    )


def _type(ask: Ask) -> click.ParamType:  # type: ignore[type-arg]
    return click.Choice(list(ask.choices)) if ask.holds is Holds.CHOICE else Asked(ask)


def _flag(name: str) -> str:
    return "--" + name.replace("_", "-")


def _apart(each: Asks, column: Ask) -> str:
    return f"{each.name}_{column.name}"


def _together(each: Input, given: Mapping[str, Any]) -> Any:
    """An input's value as its card takes it: rows whole, with what was given apart for them."""
    found = given[each.name]
    if isinstance(each, Ask) or not each.apart:
        return found
    apart = {column.name: _named(each, column, given, found) for column in each.apart}
    return tuple(_whole(each, row, apart) for row in found)


def _whole(each: Asks, row: tuple[Any, ...], apart: Mapping[str, Mapping[str, Any]]) -> tuple[Any, ...]:
    values = iter(row)
    return tuple(next(values) if column.needed else apart[column.name].get(row[0]) for column in each.columns)


def _named(each: Asks, column: Ask, given: Mapping[str, Any], rows: Told) -> dict[str, Any]:
    names = {row[0] for row in rows}
    found: dict[str, Any] = dict(given[_apart(each, column)])
    if strange := [name for name in found if name not in names]:
        raise click.UsageError(
            f"{_flag(column.name)} {strange[0]!r}: there is no such name; names: {', '.join(sorted(names))}"
        )
    return found
